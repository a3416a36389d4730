//! Breaks text into lines at its spaces. Knows only how wide each piece is, never what it says.

/// Lines no wider than `width` as `measured`, broken at spaces; a single word that is wider stands alone.
pub(super) fn lines(text: &str, width: f64, measured: impl Fn(&str) -> f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if measured(&format!("{line} {word}")) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.into()),
        }
    }
    lines
}

/// Text with a first line led by `lead` and every further line set in as far, each at most `columns` wide.
pub(super) fn hanging(lead: &str, text: &str, columns: usize) -> String {
    let indent = lead.chars().count();
    let broken = lines(text, columns.saturating_sub(indent) as f64, |piece| piece.chars().count() as f64);
    let mut out = String::new();
    for (index, line) in broken.iter().enumerate() {
        if index > 0 {
            out.extend(std::iter::repeat_n(' ', indent));
        } else {
            out.push_str(lead);
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_hang_under_the_first_word() {
        assert_eq!(hanging("  mend  ", "one two three", 14), "  mend  one\n        two\n        three\n");
        assert_eq!(hanging("  mend  ", "one two three", 15), "  mend  one two\n        three\n");
    }

    #[test]
    fn a_word_too_long_stands_alone() {
        assert_eq!(lines("a wheelhouse b", 4.0, |piece| piece.len() as f64), ["a", "wheelhouse", "b"]);
    }
}
