//! Names made safe for HTML, and bytes as the letters of a data address.
//!
//! Takes anything a user may have written; gives what a browser shows as it was written and never runs. Must never know
//! what it is of.

pub(super) use crate::sheet::escape::escaped;

/// A name of the user's: safe, and kept apart from the words around it whichever way it runs.
pub(super) fn name(text: &str) -> String {
    format!("<bdi>{}</bdi>", escaped(text))
}

/// Bytes as RFC 4648 section 4 writes them, with padding.
pub(super) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |index: usize| u32::from(chunk.get(index).copied().unwrap_or(0));
        let word = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            let letter = LETTERS[(word >> (18 - 6 * place) & 63) as usize];
            out.push(if place > chunk.len() { '=' } else { char::from(letter) });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648 section 10, from memory.
    #[test]
    fn the_examples_of_rfc_4648() {
        for (bytes, letters) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(bytes.as_bytes()), letters);
        }
        assert_eq!(base64(&[0xfb, 0xff]), "+/8=");
    }

    #[test]
    fn nothing_of_the_users_opens_a_tag_or_ends_an_attribute() {
        let safe = escaped("</script><img src=x onerror='a'>\"&\u{0}\u{1b}é");
        assert_eq!(safe, "&lt;/script&gt;&lt;img src=x onerror=&#39;a&#39;&gt;&quot;&amp;\u{fffd}\u{fffd}é");
    }
}
