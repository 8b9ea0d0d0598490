//! JSON text to a tree that knows where everything stands (RFC 8259).
//!
//! Stricter than the RFC where a lead hand would be misled: duplicate keys, a byte
//! order mark, nesting over 32 and files over 4 MiB are refused. Never panics and
//! never goes deeper than [`DEEPEST`] calls, whatever the bytes. What can be read
//! past (a duplicate key, a control character in a string, an odd number) is found
//! and read past, so that one run shows it all; the first break of the grammar ends.

use super::code::{
    BAD_JSON, BAD_NUMBER, BYTE_ORDER_MARK, CONTROL_CHARACTER, DUPLICATE_KEY, NOT_UTF8, TOO_DEEP,
    TOO_LARGE,
};
use crate::finding::{Code, Finding, Subject, escape};

mod text;

/// The deepest nesting that is read.
pub(super) const DEEPEST: usize = 32;
/// The largest document that is read, in bytes.
pub(super) const LARGEST: usize = 4 * 1024 * 1024;

/// First byte and the byte after the last.
pub(super) type Span = (usize, usize);

/// One value of the text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    /// Where it stands.
    pub(super) span: Span,
    /// What it is.
    pub(super) value: Json,
}

/// A value.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Json {
    /// `null`
    Null,
    /// `true` or `false`
    Bool(bool),
    /// A number, as written.
    Number(String),
    /// A string, escapes resolved.
    String(String),
    /// A list.
    List(Vec<Node>),
    /// An object, members in the order of the text.
    Object(Vec<Member>),
}

/// One member of an object.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Member {
    /// Its key.
    pub(super) key: String,
    /// Where the key stands, with its quotes.
    pub(super) key_span: Span,
    /// Its value.
    pub(super) node: Node,
}

impl Json {
    /// What it is, for people.
    pub(super) const fn what(&self) -> &'static str {
        match self {
            Self::Null => "null",
            Self::Bool(_) => "true or false",
            Self::Number(_) => "a number",
            Self::String(_) => "a string",
            Self::List(_) => "a list",
            Self::Object(_) => "an object",
        }
    }
}

/// Help for who writes comments.
const COMMENT: &str = "JSON has no comments; use a \"note\"";

/// The tree of a text, if it has one, and everything wrong with it.
pub(super) fn scan(bytes: &[u8]) -> (Option<Node>, Vec<Finding>) {
    if bytes.len() > LARGEST {
        let sentence = format!(
            "the file has {} bytes; a document has at most {LARGEST} (4 MiB)",
            bytes.len()
        );
        let finding = Finding::error(TOO_LARGE, Subject::Document, sentence)
            .help("is it the file you meant? procedures are text and rarely over 200 KiB");
        return (None, vec![finding]);
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => return (None, vec![not_utf8(bytes, error.valid_up_to())]),
    };
    let mut scanner = Scanner {
        text,
        at: 0,
        findings: Vec::new(),
    };
    let root = scanner.document();
    (root.ok(), scanner.findings)
}

fn not_utf8(bytes: &[u8], at: usize) -> Finding {
    let byte = bytes.get(at).copied().unwrap_or_default();
    Finding::error(
        NOT_UTF8,
        Subject::Text {
            from: at,
            to: at + 1,
        },
        format!("the byte 0x{byte:02X} is not UTF-8 text"),
    )
    .help("save the file as UTF-8 (editors list it under \"encoding\")")
}

/// The text can't be read further; the finding has been written.
struct Broken;

type Read<T> = Result<T, Broken>;

struct Scanner<'a> {
    text: &'a str,
    at: usize,
    findings: Vec<Finding>,
}

impl<'a> Scanner<'a> {
    fn document(&mut self) -> Read<Node> {
        if self.text.starts_with('\u{feff}') {
            self.find(
                BYTE_ORDER_MARK,
                (0, 3),
                "the file begins with a byte order mark",
            )
            .help
            .push("save it as UTF-8 without BOM; JSON has none".to_owned());
            self.at = 3;
        }
        self.space();
        let root = self.value(0)?;
        self.space();
        if self.at < self.text.len() {
            return self.broken(
                "the document should end here",
                "remove what follows, or check the braces before it",
            );
        }
        Ok(root)
    }

    fn find(&mut self, code: Code, span: Span, sentence: impl Into<String>) -> &mut Finding {
        let (from, to) = span;
        self.findings
            .push(Finding::error(code, Subject::Text { from, to }, sentence));
        let last = self.findings.len() - 1;
        #[expect(clippy::indexing_slicing, reason = "the finding was pushed just above")]
        &mut self.findings[last]
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn space(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    /// What stands here, as a span and in words.
    fn here(&self) -> (Span, String) {
        match self.rest().chars().next() {
            None => ((self.at, self.at), "the end of the file".to_owned()),
            Some(c) => {
                let span = (self.at, self.at + c.len_utf8());
                (span, format!("\"{}\"", escape(c.encode_utf8(&mut [0; 4]))))
            }
        }
    }

    fn broken<T>(&mut self, wanted: &str, help: &str) -> Read<T> {
        let (span, found) = self.here();
        let finding = self.find(BAD_JSON, span, format!("{wanted}; found {found}"));
        if !help.is_empty() {
            finding.help.push(help.to_owned());
        }
        Err(Broken)
    }

    fn value(&mut self, depth: usize) -> Read<Node> {
        let from = self.at;
        let value = match self.peek() {
            Some(b'{') => self.deeper(depth, Self::object)?,
            Some(b'[') => self.deeper(depth, Self::list)?,
            Some(b'"') => Json::String(self.string()?),
            Some(b'-' | b'+' | b'.' | b'0'..=b'9') => self.number(),
            _ => self.word()?,
        };
        Ok(Node {
            span: (from, self.at),
            value,
        })
    }

    fn deeper(&mut self, depth: usize, inner: fn(&mut Self, usize) -> Read<Json>) -> Read<Json> {
        if depth >= DEEPEST {
            let sentence = format!("nested deeper than {DEEPEST} levels");
            let span = (self.at, self.at + 1);
            self.find(TOO_DEEP, span, sentence)
                .help
                .push("no document needs more than ten; check the brackets".to_owned());
            return Err(Broken);
        }
        self.at += 1;
        inner(self, depth + 1)
    }

    fn list(&mut self, depth: usize) -> Read<Json> {
        let mut items = Vec::new();
        self.space();
        if self.peek() == Some(b']') {
            self.at += 1;
            return Ok(Json::List(items));
        }
        loop {
            self.space();
            items.push(self.value(depth)?);
            self.space();
            match self.peek() {
                Some(b',') => self.comma(b']')?,
                Some(b']') => {
                    self.at += 1;
                    return Ok(Json::List(items));
                }
                _ => {
                    return self.broken(
                        "expected \",\" or \"]\" after an item of a list",
                        self.parted(),
                    );
                }
            }
        }
    }

    fn object(&mut self, depth: usize) -> Read<Json> {
        let mut members: Vec<Member> = Vec::new();
        let mut keys = std::collections::BTreeMap::new();
        self.space();
        if self.peek() == Some(b'}') {
            self.at += 1;
            return Ok(Json::Object(members));
        }
        loop {
            self.space();
            let member = self.member(depth)?;
            if let Some(first) = keys.get(&member.key) {
                // A line is found by walking the text: only for what will be told.
                let told = self.findings.len() < super::MOST;
                let line = if told {
                    text::line_of(self.text, *first)
                } else {
                    0
                };
                let sentence = format!("the key {:?} is written twice in one object", member.key);
                self.find(DUPLICATE_KEY, member.key_span, sentence)
                    .help
                    .push(format!("the first stands on line {line}; keep one of them"));
            } else {
                keys.insert(member.key.clone(), member.key_span.0);
                members.push(member);
            }
            self.space();
            match self.peek() {
                Some(b',') => self.comma(b'}')?,
                Some(b'}') => {
                    self.at += 1;
                    return Ok(Json::Object(members));
                }
                _ => {
                    return self.broken(
                        "expected \",\" or \"}\" after a member of an object",
                        self.parted(),
                    );
                }
            }
        }
    }

    /// Help for two values that nothing parts.
    fn parted(&self) -> &'static str {
        match self.peek() {
            Some(b'"' | b'{' | b'[') => "is a comma missing before it?",
            Some(b'/' | b'#') => COMMENT,
            Some(b) if b.is_ascii_alphanumeric() => {
                "a quote inside a text is written \\\", else a comma is missing"
            }
            _ => "",
        }
    }

    /// A comma, that may not be the last thing.
    fn comma(&mut self, close: u8) -> Read<()> {
        let comma = self.at;
        self.at += 1;
        self.space();
        if self.peek() == Some(close) {
            self.at = comma;
            return self.broken("expected no comma after the last one", "remove the comma");
        }
        Ok(())
    }

    fn member(&mut self, depth: usize) -> Read<Member> {
        let from = self.at;
        if self.peek() != Some(b'"') {
            let help = match self.peek() {
                Some(b'/' | b'#') => COMMENT,
                Some(b'\'') => "keys take double quotes",
                _ => "",
            };
            return self.broken("expected a key in double quotes", help);
        }
        let key = self.string()?;
        let key_span = (from, self.at);
        self.space();
        if self.peek() != Some(b':') {
            return self.broken("expected \":\" after a key", "");
        }
        self.at += 1;
        self.space();
        Ok(Member {
            key,
            key_span,
            node: self.value(depth)?,
        })
    }

    fn word(&mut self) -> Read<Json> {
        for (word, value) in [
            ("true", Json::Bool(true)),
            ("false", Json::Bool(false)),
            ("null", Json::Null),
        ] {
            if self.rest().starts_with(word) {
                self.at += word.len();
                return Ok(value);
            }
        }
        self.broken(
            "expected a value: text in double quotes, a number, {, [, true, false or null",
            match self.peek() {
                Some(b'\'') => "strings take double quotes",
                Some(b'/' | b'#') => COMMENT,
                _ => "",
            },
        )
    }
}

#[cfg(test)]
mod tests;
