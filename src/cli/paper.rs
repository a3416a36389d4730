//! `lampwalk paper`: the drill or a lesson on paper.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

use super::{output, told, unusable};
use crate::{
    boat::read::nearest,
    sheet::exam::{Paper, html, text},
    teach::{
        drill::paper,
        lesson::{Lesson, TEXTS, read, read_file, supplied},
    },
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Which paper: the same number gives the same paper for ever.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// How many questions, from 1 to 200.
    #[arg(long, value_name = "NUMBER", default_value_t = 12, value_parser = clap::value_parser!(u8).range(1..=200))]
    questions: u8,
    /// A lesson in place of the drill: a supplied one by its name, or a lesson file (RON), which is checked.
    #[arg(long, value_name = "NAME|FILE.ron", conflicts_with_all = ["seed", "questions"])]
    lesson: Option<String>,
    /// List the supplied lessons.
    #[arg(long, conflicts_with_all = ["seed", "questions", "lesson", "answers", "output"])]
    lessons: bool,
    /// Set the answers behind the questions, each with why.
    #[arg(long)]
    answers: bool,
    /// Write it into a file: a page to print (.html), or plain text (.txt). [default: plain text on standard output]
    #[arg(short, long, value_name = "FILE.html|FILE.txt", value_parser = written)]
    output: Option<PathBuf>,
}

/// Reads the name of a file to write.
fn written(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    if is(&path, "html") || is(&path, "txt") {
        Ok(path)
    } else {
        Err("the name must end in .html (to print) or .txt (plain text)".into())
    }
}

fn is(path: &Path, kind: &str) -> bool {
    path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case(kind))
}

pub(super) fn run(args: &Args) -> ExitCode {
    if args.lessons {
        return given(&list());
    }
    let paper = match &args.lesson {
        None => {
            let items = paper(args.seed, usize::from(args.questions));
            Paper::of_drill(args.seed, &items, args.answers)
        }
        Some(name) => match lesson(name) {
            Ok(lesson) => Paper::of_lesson(&lesson, args.answers),
            Err(code) => return code,
        },
    };
    let Some(path) = &args.output else { return given(&text(&paper)) };
    let page = if is(path, "html") { html(&paper) } else { text(&paper) };
    match output::write_file(path, page.as_bytes()) {
        Ok(()) => {
            output::say(&format!("wrote {}", path.display()));
            ExitCode::SUCCESS
        }
        Err(error) => unusable(&format!("{} cannot be written: {error}", path.display())),
    }
}

fn given(text: &str) -> ExitCode {
    match output::give(text) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => unusable(&format!("standard output cannot be written: {error}")),
    }
}

/// A lesson by name, or read from a file and checked; or what is wrong told, and the exit status for it.
fn lesson(name: &str) -> Result<Lesson, ExitCode> {
    if let Some((_, text)) = TEXTS.iter().find(|(known, _)| known.eq_ignore_ascii_case(name)) {
        return read(text, Path::new(name)).map_err(|error| told(&error));
    }
    let path = Path::new(name);
    if path.exists() || is(path, "ron") {
        return read_file(path).map_err(|error| told(&error));
    }
    let names: Vec<&str> = TEXTS.iter().map(|(name, _)| *name).collect();
    let guess = nearest(name, &names).map_or_else(String::new, |near| format!("did you mean `{near}`? "));
    Err(unusable(&format!(
        "there is no supplied lesson and no file \"{name}\"; {guess}`lampwalk paper --lessons` lists the lessons"
    )))
}

fn list() -> String {
    let line = |lesson: &Lesson| format!("{:<28} {:>2} min  {}\n", lesson.name, lesson.minutes, lesson.title);
    supplied().iter().map(line).collect()
}
