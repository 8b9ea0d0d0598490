//! How wide letters are at most, and breaking text into lines that fit.
//!
//! Invariant: no line is taken to be narrower than any of the usual sans-serif faces
//! draws it, so that what fits here fits on every machine. Must not know of boxes.

use crate::finding::escape;

/// Hundredths of the letter size for the letters from space to tilde, bold, in the
/// widest of the usual faces.
///
/// # Source
/// Advance widths of `DejaVu` Sans Bold 2.37, rounded up; Arial, Helvetica, Liberation
/// and Noto Sans are narrower letter by letter but for a few.
const BOLD: [u8; 95] = [
    35, 46, 53, 84, 70, 101, 88, 31, 46, 46, 53, 84, 38, 42, 38, 37, 70, 70, 70, 70, 70, 70, 70,
    70, 70, 70, 40, 40, 84, 84, 84, 59, 101, 78, 77, 74, 84, 69, 69, 83, 84, 38, 56, 78, 64, 100,
    84, 86, 74, 86, 78, 73, 69, 82, 78, 111, 78, 73, 73, 46, 37, 46, 84, 56, 50, 68, 72, 60, 72,
    68, 44, 72, 72, 35, 35, 67, 35, 105, 72, 69, 72, 72, 50, 60, 48, 72, 66, 93, 65, 66, 59, 72,
    37, 72, 84,
];

/// What any other letter is taken for; East Asian ones and pictures are wider.
const OTHER: i32 = 88;
/// Letters from here on may take a whole square, and some more.
const SQUARE_FROM: u32 = 0x1100;
const SQUARE: i32 = 130;

/// The width of a text at a size, rounded up. Plain letters are narrower than bold.
pub(super) fn width(text: &str, size: i32, bold: bool) -> i32 {
    let hundredths: i32 = text.chars().map(letter).sum();
    let share = if bold { 100 } else { 93 };
    (hundredths * size * share + 9_999) / 10_000
}

fn letter(c: char) -> i32 {
    let code = u32::from(c);
    let row = code.checked_sub(32).and_then(|n| BOLD.get(n as usize));
    match row {
        Some(wide) => i32::from(*wide),
        None if code >= SQUARE_FROM && !(0x2000..0x2300).contains(&code) => SQUARE,
        None => OTHER,
    }
}

/// A text in lines of at most `wide`, broken at spaces where it can be.
pub(super) fn wrap(text: &str, size: i32, bold: bool, wide: i32) -> Vec<String> {
    let text = escape(text);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        for piece in pieces(word, size, bold, wide) {
            let longer = if line.is_empty() {
                piece.clone()
            } else {
                format!("{line} {piece}")
            };
            if width(&longer, size, bold) <= wide || line.is_empty() {
                line = longer;
            } else {
                lines.push(std::mem::replace(&mut line, piece));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A word in pieces that fit, each letter at least once.
fn pieces(word: &str, size: i32, bold: bool, wide: i32) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for c in word.chars() {
        let Some(last) = pieces.last_mut() else {
            continue;
        };
        last.push(c);
        if width(last, size, bold) > wide && last.chars().count() > 1 {
            last.pop();
            pieces.push(c.to_string());
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_asked_and_no_letter_is_lost() {
        let text = "Lower at the diagnostic equipment until-the-frame-sits-on-both-blocks. 高さ";
        for wide in (20..400).step_by(7) {
            let lines = wrap(text, 12, true, wide);
            assert!(
                lines.iter().all(|l| width(l, 12, true) <= wide),
                "{wide}: {lines:?}"
            );
            let all: String = lines.concat().split_whitespace().collect();
            assert_eq!(all, text.split_whitespace().collect::<String>());
        }
    }

    #[test]
    fn a_wide_letter_is_never_taken_for_a_narrow_one() {
        assert!(width("高", 10, false) >= 12);
        assert!(width("MMMM", 10, true) > width("iiii", 10, true));
        assert_eq!(width("", 12, true), 0);
    }

    #[test]
    fn what_steers_a_reader_is_written_out() {
        assert_eq!(wrap("a\u{202e}b", 10, false, 500), ["a\\u{202e}b"]);
    }
}
