//! A question paper as one HTML page: no script, nothing fetched, fit for A4 and Letter.

use super::{Asked, Entry, Paper, dots, letter};
use crate::{sheet::escape::escaped, teach::CAUTION};

const STYLE: &str = "\
@page { margin: 16mm 15mm; }
body { font: 11pt/1.4 Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif; color: #1d2126; background: #fff; \
max-width: 180mm; margin: 8mm auto; padding: 0 4mm; }
h1 { font-size: 18pt; margin: 0 0 2mm; }
h2 { font-size: 13pt; margin: 6mm 0 1.5mm; }
p { margin: 0 0 2mm; }
.about { color: #454c54; }
.who { margin: 5mm 0; }
.entry { break-inside: avoid; margin: 0 0 6mm; }
.ask { font-weight: bold; }
.night { display: block; margin: 2mm 0 2.5mm; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
ol.choices { list-style: upper-alpha; margin: 0; padding-left: 8mm; }
ol.choices li { margin: 0 0 0.8mm; }
.page { break-before: page; }
table { border-collapse: collapse; }
th, td { border: 0.25mm solid #8b9299; padding: 1.2mm 2.2mm; text-align: left; vertical-align: top; }
td.room { width: 22mm; height: 6mm; }
.grid { columns: 3; column-gap: 8mm; }
.grid table { width: 100%; margin-bottom: -0.25mm; break-inside: avoid; }
.foot { margin-top: 8mm; color: #454c54; font-size: 9.5pt; }
@media print { body { max-width: none; margin: 0; padding: 0; } }
";

/// The page: questions, a sheet to fill in, and behind it the answers where they are asked for.
pub fn html(paper: &Paper) -> String {
    let title = escaped(&paper.title);
    let mut body = format!("<h1>{title}</h1>\n<p class=\"about\">{}</p>\n", escaped(&paper.about));
    body.push_str("<p class=\"who\">Name ______________________________ &nbsp; Date ____________________</p>\n");
    let mut number = 0;
    for entry in &paper.entries {
        body.push_str(&entry_html(entry, &mut number));
    }
    let questions: Vec<&Asked> = paper.entries.iter().filter_map(|entry| entry.question.as_ref()).collect();
    body.push_str(&answer_sheet(&paper.title, questions.len()));
    if paper.answers {
        body.push_str(&answers(&paper.title, &questions));
    }
    body.push_str(&format!("<p class=\"foot\">{CAUTION}</p>\n"));
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" \
         content=\"width=device-width\">\n<title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n{body}</body>\n</html>\n"
    )
}

fn entry_html(entry: &Entry, number: &mut usize) -> String {
    let mut out = String::from("<div class=\"entry\">\n");
    if let Some(heading) = &entry.heading {
        out.push_str(&format!("<h2>{}</h2>\n", escaped(heading)));
    }
    for words in &entry.words {
        out.push_str(&format!("<p>{}</p>\n", escaped(words)));
    }
    if let Some(question) = &entry.question {
        *number += 1;
        out.push_str(&format!("<p class=\"ask\">{number}. {}</p>\n", escaped(&question.ask)));
        if !entry.lights.is_empty() {
            out.push_str(&format!("{}\n", dots::picture(&entry.lights)));
        }
        if !question.choices.is_empty() {
            let choices: String =
                question.choices.iter().map(|choice| format!("<li>{}</li>\n", escaped(choice))).collect();
            out.push_str(&format!("<ol class=\"choices\">\n{choices}</ol>\n"));
        }
        if let Some(blank) = &question.blank {
            out.push_str(&format!("<p>{} ____________</p>\n", escaped(blank)));
        }
    }
    out.push_str("</div>\n");
    out
}

/// A box for each answer.
fn answer_sheet(title: &str, count: usize) -> String {
    let boxes: String = (1..=count)
        .map(|number| format!("<table><tr><th>{number}</th><td class=\"room\"></td></tr></table>\n"))
        .collect();
    format!(
        "<h2 class=\"page\">Answer sheet: {}</h2>\n<p class=\"who\">Name ______________________________ &nbsp; Date \
         ____________________</p>\n<div class=\"grid\">\n{boxes}</div>\n",
        escaped(title)
    )
}

fn answers(title: &str, questions: &[&Asked]) -> String {
    let rows: String = questions
        .iter()
        .enumerate()
        .map(|(index, question)| {
            let named = question.choices.iter().enumerate().find(|(place, _)| letter(*place) == question.answer);
            let choice = named.map_or_else(String::new, |(_, choice)| format!(": {}", escaped(choice)));
            let answer = escaped(&question.answer);
            format!(
                "<tr><th>{}</th><td><b>{answer}</b>{choice}</td><td>{}</td></tr>\n",
                index + 1,
                escaped(&question.why)
            )
        })
        .collect();
    format!("<h2 class=\"page\">Answers: {}</h2>\n<table>\n{rows}</table>\n", escaped(title))
}
