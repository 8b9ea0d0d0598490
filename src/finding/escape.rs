//! Makes text from documents safe to draw (P9).

use std::borrow::Cow;
use std::fmt::Write as _;

/// `text` with everything that could steer a terminal written out: control
/// characters, and the invisible ones that turn or hide text.
pub fn escape(text: &str) -> Cow<'_, str> {
    if !text.chars().any(is_steering) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if is_steering(c) {
            // Writing to a string can't fail.
            let _ = write!(out, "\\u{{{:x}}}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    Cow::Owned(out)
}

/// Whether a character acts on the terminal or on the reading order instead of
/// being seen, or looks different on every machine (private use).
pub fn is_steering(c: char) -> bool {
    // Most text is plain, and every letter of a document is asked about.
    if c.is_ascii() {
        return c.is_ascii_control();
    }
    c.is_control()
        || matches!(
            c,
            // Soft hyphen, joiners, vowel separators, fillers and the empty braille
            // cell are not seen, or take a place and show nothing.
            '\u{ad}'
                | '\u{34f}'
                | '\u{61c}'
                | '\u{115f}'..='\u{1160}'
                | '\u{17b4}'..='\u{17b5}'
                | '\u{180b}'..='\u{180f}'
                | '\u{2800}'
                | '\u{3164}'
                | '\u{fe00}'..='\u{fe0f}'
                | '\u{ffa0}'
                | '\u{e000}'..='\u{f8ff}'
                | '\u{f0000}'..='\u{10fffd}'
                | '\u{e0100}'..='\u{e01ef}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}
