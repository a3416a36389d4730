//! Text made safe for HTML.
//!
//! Takes anything a user may have written; gives what a browser shows as it was written and never runs.

/// Text for between tags and for attributes in double quotes. Control characters, which no page may hold, become the
/// sign for what cannot be shown.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for letter in text.chars() {
        match letter {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\'' => out += "&#39;",
            '\n' | '\t' => out.push(letter),
            control if control.is_control() => out.push('\u{fffd}'),
            other => out.push(other),
        }
    }
    out
}
