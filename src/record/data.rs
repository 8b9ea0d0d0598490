//! A job as JSON, for other programs.

use serde::Serialize as _;

use super::Account;
use super::story::story;

/// The story as JSON text, in ASCII where a character could steer a terminal.
pub fn data(account: &Account<'_>) -> String {
    let mut bytes = Vec::new();
    let pretty = serde_json::ser::PrettyFormatter::with_indent(b"  ");
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, pretty);
    // Strings, numbers and lists of them, into memory: nothing that can fail.
    let _ = story(account).serialize(&mut writer);
    plain(&String::from_utf8_lossy(&bytes))
}

/// Steering characters stand inside strings only, where an escape means the same.
fn plain(json: &str) -> String {
    use std::fmt::Write as _;
    let mut out = String::with_capacity(json.len() + 1);
    let mut units = [0_u16; 2];
    for letter in json.chars() {
        let mut text = [0_u8; 4];
        let escaped = crate::finding::escape(letter.encode_utf8(&mut text));
        let steers = letter != '\n' && matches!(escaped, std::borrow::Cow::Owned(_));
        if steers {
            for unit in letter.encode_utf16(&mut units) {
                // Writing to a string can't fail.
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(letter);
        }
    }
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_steering_character_becomes_an_escape_that_means_the_same() {
        let text = "a\u{9b}b\u{202e}c\u{e0041}d é";
        let json = serde_json::to_string(text).unwrap();
        let plain = plain(&json);
        assert_eq!(plain.trim_end(), r#""a\u009bb\u202ec\udb40\udc41d é""#);
        assert_eq!(serde_json::from_str::<String>(&plain).unwrap(), text);
    }
}
