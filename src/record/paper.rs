//! Lines of plain text for a printer: escaped, wrapped, marked.
//!
//! Invariant: no line holds a control character; a page of practice says so.

use crate::finding::escape;

/// Columns of a line.
const WIDTH: usize = 78;
/// Lines of a page: what a sheet of A4 or Letter takes at ten points.
const LINES: usize = 56;

/// Text being laid out.
#[derive(Debug)]
pub(super) struct Paper {
    out: String,
    lines: usize,
    pages: usize,
    /// Stands at the top of every page.
    running: String,
}

impl Paper {
    /// Empty paper; `running` stands at the top of every page.
    pub(super) fn new(running: &str) -> Self {
        let mut paper = Self {
            out: String::new(),
            lines: 0,
            pages: 0,
            running: escape(running).into_owned(),
        };
        paper.turn();
        paper
    }

    fn turn(&mut self) {
        self.pages += 1;
        self.lines = 1;
        let line = format!("{} · page {}", self.running, self.pages);
        if self.pages > 1 {
            self.out.push('\n');
        }
        self.out.push_str(&line);
        self.out.push('\n');
    }

    fn raw(&mut self, line: &str) {
        if self.lines >= LINES {
            self.turn();
        }
        self.out.push_str(line.trim_end());
        self.out.push('\n');
        self.lines += 1;
    }

    /// A heading with an empty line before it.
    pub(super) fn heading(&mut self, text: &str) {
        // A heading does not stand alone at the foot of a page.
        if self.lines + 3 > LINES {
            self.turn();
        }
        self.raw("");
        self.raw(&escape(text));
    }

    /// A paragraph, `indent` columns in.
    pub(super) fn line(&mut self, indent: usize, text: &str) {
        self.hanging(indent, indent, text);
    }

    /// A paragraph whose first line begins further left than the others.
    pub(super) fn hanging(&mut self, first: usize, rest: usize, text: &str) {
        let text = escape(text);
        let mut line = " ".repeat(first);
        let mut empty = true;
        for word in text.split_whitespace() {
            let width = line.chars().count() + word.chars().count() + usize::from(!empty);
            if width > WIDTH && !empty {
                self.raw(&line);
                line = " ".repeat(rest);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.raw(&line);
    }

    /// What was laid out.
    pub(super) fn done(self) -> String {
        self.out
    }
}
