//! `rimwright outline FILE`: what is in a trace.

use exchange::json::{self, OutlineJson};

use super::GOOD;
use crate::cli::OutlineArgs;
use crate::failure::Failure;
use crate::output::Output;
use crate::{drawings, files, text};

pub(super) fn run(args: &OutlineArgs, out: &mut Output) -> Result<u8, Failure> {
    let rules = files::rules(args.rules.as_deref(), &files::folder_of(&args.file))?.rules;
    let frame = files::frame(&args.file, &rules)?;
    if let Some(folder) = &args.draw {
        let stem = args.file.file_stem().map_or_else(|| "outline".into(), |s| s.to_string_lossy());
        drawings::write(folder, &[(format!("{stem}-outline"), drawing::svg(&drawing::outline(&frame.shapes)))])?;
    }
    if args.json {
        let document = OutlineJson::new(&frame.shapes, frame.digest);
        out.line(&json::pretty(&document).map_err(|e| Failure::own(&e))?)?;
    } else {
        let mut page = out.page();
        text::outline(&mut page, &frame.shapes);
        out.text(page.text())?;
    }
    Ok(GOOD)
}
