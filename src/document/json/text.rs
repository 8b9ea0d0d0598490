//! The scalars of the text: strings and numbers.

use super::{BAD_JSON, BAD_NUMBER, Broken, CONTROL_CHARACTER, Json, Read, Scanner};

/// The line, from 1, on which a byte stands.
pub(super) fn line_of(text: &str, at: usize) -> usize {
    let before = text.as_bytes().get(..at).unwrap_or_default();
    before.split(|b| *b == b'\n').count()
}

impl Scanner<'_> {
    /// A string, standing at its opening quote.
    pub(super) fn string(&mut self) -> Read<String> {
        let open = self.at;
        self.at += 1;
        let mut out = String::new();
        loop {
            let Some(c) = self.rest().chars().next() else {
                return self.unclosed(open);
            };
            match c {
                '"' => {
                    self.at += 1;
                    return Ok(out);
                }
                '\n' | '\r' => return self.unclosed(open),
                '\\' => out.push(self.escaped()?),
                c => {
                    if c.is_control() {
                        self.control(c);
                    }
                    out.push(c);
                    self.at += c.len_utf8();
                }
            }
        }
    }

    fn unclosed(&mut self, open: usize) -> Read<String> {
        let sentence = "this string has no closing quote on its line";
        self.find(BAD_JSON, (open, self.at), sentence)
            .help
            .push("several lines are a list of strings; a quote inside is written \\\"".to_owned());
        Err(Broken)
    }

    /// C0 controls break the RFC, DEL and C1 do not; none of them is text.
    fn control(&mut self, c: char) {
        let span = (self.at, self.at + c.len_utf8());
        let sentence = format!("control character U+{:04X} in a string", u32::from(c));
        self.find(CONTROL_CHARACTER, span, sentence)
            .help
            .push("remove it; text is plain letters, lines are items of a list".to_owned());
    }

    /// An escape, standing at its backslash.
    fn escaped(&mut self) -> Read<char> {
        let from = self.at;
        self.at += 1;
        let c = match self.peek() {
            Some(b'"') => '"',
            Some(b'\\') => '\\',
            Some(b'/') => '/',
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => return self.unicode(from),
            _ => {
                let help = "a backslash itself is written \\\\";
                return self.broken(
                    "expected one of \" \\ / b f n r t u after a backslash",
                    help,
                );
            }
        };
        self.at += 1;
        Ok(c)
    }

    /// `\uXXXX`, and a pair of them for what lies beyond; standing at the `u`.
    fn unicode(&mut self, from: usize) -> Read<char> {
        self.at += 1;
        let first = self.hex4()?;
        let code = match first {
            0xD800..=0xDBFF if self.rest().starts_with("\\u") => {
                self.at += 2;
                let second = self.hex4()?;
                if (0xDC00..=0xDFFF).contains(&second) {
                    0x10000 + ((first - 0xD800) << 10) + (second - 0xDC00)
                } else {
                    first
                }
            }
            _ => first,
        };
        if let Some(c) = char::from_u32(code) {
            return Ok(c);
        }
        let sentence = "half of a surrogate pair stands alone";
        self.find(BAD_JSON, (from, self.at), sentence)
            .help
            .push("write the character itself; the file is UTF-8".to_owned());
        Err(Broken)
    }

    fn hex4(&mut self) -> Read<u32> {
        let mut code = 0;
        for _ in 0..4 {
            let digit = self.peek().and_then(|b| char::from(b).to_digit(16));
            let Some(digit) = digit else {
                return self.broken("expected four hexadecimal digits after \\u", "");
            };
            code = code * 16 + digit;
            self.at += 1;
        }
        Ok(code)
    }

    /// A number, or something that was meant as one.
    pub(super) fn number(&mut self) -> Json {
        let from = self.at;
        let part = |b: u8| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.' | b'e' | b'E');
        while self.peek().is_some_and(part) {
            self.at += 1;
        }
        let written = self.text.get(from..self.at).unwrap_or_default().to_owned();
        if let Some(help) = oddity(&written) {
            let sentence = format!("{written:?} is not a number of JSON");
            self.find(BAD_NUMBER, (from, self.at), sentence)
                .help
                .push(help.to_owned());
        }
        Json::Number(written)
    }
}

/// What is odd about a number (RFC 8259 section 6), as help.
fn oddity(written: &str) -> Option<&'static str> {
    let body = written.strip_prefix('-').unwrap_or(written);
    if written.starts_with('+') {
        return Some("leave the plus sign out");
    }
    let (mantissa, exponent) = match body.split_once(['e', 'E']) {
        Some((m, e)) => (m, Some(e)),
        None => (body, None),
    };
    let (whole, fraction) = match mantissa.split_once('.') {
        Some((w, f)) => (w, Some(f)),
        None => (mantissa, None),
    };
    let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    if !digits(whole) || fraction.is_some_and(|f| !digits(f)) {
        return Some("figures stand before and after the point, as in 0.5");
    }
    if whole.len() > 1 && whole.starts_with('0') {
        return Some("leave the leading zero out");
    }
    if exponent.is_some_and(|e| !digits(e.strip_prefix(['+', '-']).unwrap_or(e))) {
        return Some("an exponent has figures, as in 1e3");
    }
    match written.parse::<f64>() {
        Ok(value) if value.is_finite() => None,
        _ => Some("it is too large for a number here"),
    }
}
