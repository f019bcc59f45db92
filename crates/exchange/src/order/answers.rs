//! `[answers]`: a person's answers, by the code of the finding; one, or one for each eye.

use job::Answer;

use super::EYES;
use crate::fault::shown;
use crate::nearest::nearest;
use crate::toml_walk::{Table, Value};

pub(super) fn read(table: &Table<'_, '_>) -> Vec<Answer> {
    let mut answers = Vec::new();
    for (code, value) in table.each() {
        if job::kinds::ALL.iter().all(|kind| kind.code != code) {
            let known = job::kinds::ALL.iter().map(|kind| kind.code);
            let hint = nearest(&code, known).map_or_else(
                || "write the code as the finding prints it".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            value.fault::<()>(format!("`{}` is not the code of a finding", shown(&code)), hint);
        }
        let each = if value.is_list() { value.list() } else { vec![value] };
        answers.extend(each.iter().filter_map(|v| answer(&code, v)));
    }
    table.end();
    answers
}

fn answer(code: &str, value: &Value<'_, '_>) -> Option<Answer> {
    let table = value.table()?;
    let text = |key: &'static str, hint: &str| table.need(key, table.text(key), hint).map(str::to_owned);
    let figure = text("figure", "quote the value that the finding prints");
    let reason = text("reason", "say why it may stand");
    let who = text("who", "say who answers");
    let eye = table.word("eye", EYES);
    table.end();
    Some(Answer { code: code.to_owned(), eye, figure: figure?, reason: reason?, who: who? })
}
