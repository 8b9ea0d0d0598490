//! The whole procedure as a form on paper, to be worked through and signed with a pen:
//! one HTML page that stands alone and prints on A4 and Letter.
//!
//! Invariants: cautions stand before the steps they are about (P8), with their signal
//! word and a border of their own; every text is escaped (P9); every step stands there
//! once, asides and stop work as annexes; with a sheet, the steps that can't be met on
//! that vehicle are left out, and the page says so. Paper keeps no one from going on, and the
//! page says so. Must not know of pictures.

mod close;
mod front;
mod item;
mod phase;
mod sign;

use std::fmt::Write as _;

use super::Chart;
use super::graph::Graph;
use super::mark::safe;

/// The form.
pub fn form(chart: &Chart<'_>) -> String {
    let graph = Graph::new(chart.procedure);
    let mut page = Page {
        out: String::new(),
        chart,
        graph: &graph,
        met: graph.met(chart.sheet),
    };
    page.out
        .push_str("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n");
    page.out.push_str("<meta charset=\"utf-8\"/>\n");
    page.put("title", "", &chart.heading());
    page.out.push_str("<style>\n");
    page.out.push_str(include_str!("form/form.css"));
    page.out.push_str(&running(chart));
    page.out.push_str("</style>\n</head>\n<body>\n");
    page.front();
    let phases = chart.procedure.phases.iter().enumerate();
    let of = |aside: bool, route: bool| {
        let phases = phases.clone();
        phases.filter(move |(_, p)| p.aside == aside && (!aside || p.route == route))
    };
    for (number, phase) in of(false, false) {
        page.phase(number, phase);
    }
    page.close();
    for (letter, title, about, route) in [
        (
            "Annex A",
            "wrong turns",
            "Come here only where a step sends you, and go back where the page says.",
            false,
        ),
        (
            "Annex B",
            "stop work",
            "Come here when work was stopped. Trust nothing that was ticked before: look again.",
            true,
        ),
    ] {
        if of(true, route).next().is_none() {
            continue;
        }
        page.out.push_str("<section class=\"annex\">\n");
        page.put("h1", "", &format!("{letter}: {title}"));
        page.put("p", "", about);
        page.out.push_str("</section>\n");
        for (number, phase) in of(true, route) {
            page.phase(number, phase);
        }
    }
    page.out.push_str("</body>\n</html>\n");
    page.out
}

/// What stands at the head and foot of every page.
fn running(chart: &Chart<'_>) -> String {
    let head = css_string(&chart.heading());
    let short: String = chart.sha256.chars().take(16).collect();
    let foot = css_string(&format!("SHA-256 {short}… · paper can't enforce gates"));
    format!(
        "@page {{\n  @top-left {{ content: {head}; font: bold 8pt sans-serif; }}\n  \
         @top-right {{ content: \"page \" counter(page) \" of \" counter(pages); font: 8pt sans-serif; }}\n  \
         @bottom-left {{ content: {foot}; font: 8pt sans-serif; }}\n}}\n"
    )
}

/// A text as a string of a style sheet: every letter but the plainest by its number,
/// so that nothing of a document ends the string or the sheet.
fn css_string(text: &str) -> String {
    let mut out = String::from("\"");
    for c in crate::finding::escape(text).chars() {
        if c.is_ascii_alphanumeric() || matches!(c, ' ' | ',' | '.') {
            out.push(c);
        } else {
            let _ = write!(out, "\\{:06x}", u32::from(c));
        }
    }
    out.push('"');
    out
}

/// The page being written.
struct Page<'a> {
    out: String,
    chart: &'a Chart<'a>,
    graph: &'a Graph<'a>,
    /// Which steps can be met with this sheet; the others are left out.
    met: Vec<bool>,
}

impl Page<'_> {
    /// Whether the step at a place can be met.
    fn is_met(&self, at: usize) -> bool {
        self.met.get(at).copied().unwrap_or(true)
    }

    /// An element with a text.
    fn put(&mut self, tag: &str, class: &str, text: &str) {
        self.open(tag, class);
        self.out.push_str(&safe(text));
        let _ = writeln!(self.out, "</{tag}>");
    }

    /// An element with a label in bold and a text.
    fn labelled(&mut self, class: &str, label: &str, text: &str) {
        self.open("p", class);
        let _ = writeln!(self.out, "<b>{}</b> {}</p>", safe(label), safe(text));
    }

    fn open(&mut self, tag: &str, class: &str) {
        if class.is_empty() {
            let _ = write!(self.out, "<{tag}>");
        } else {
            let _ = write!(self.out, "<{tag} class=\"{class}\">");
        }
    }

    /// A line with what may stand between tags already made safe.
    fn raw(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }
}

/// A box to tick, with its word.
fn tick(word: &str) -> String {
    format!(
        "<span class=\"tick\"><i class=\"box\"></i> {}</span>",
        safe(word)
    )
}

/// So many boxes to tick.
fn boxes(count: u32) -> String {
    "<i class=\"box\"></i> ".repeat(count.min(12) as usize)
}

/// A line to write on, named.
fn blank(name: &str, class: &str) -> String {
    format!(
        "<span class=\"write\">{} <i class=\"{class}\"></i></span>",
        safe(name)
    )
}
