//! A placed finding as text, with the line itself underlined.

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::{Place, Placed, Severity, escape};

impl Placed {
    /// The finding as lines of text; in colour if wanted, else plain.
    pub fn text(&self, colour: bool) -> String {
        let finding = &self.finding;
        let level = match finding.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let title = level
            .primary_title(escape(&finding.sentence))
            .id(finding.code.as_str());
        let mut group = Group::with_title(title);
        if let Some(place) = &self.place {
            group = marked(group, place, AnnotationKind::Primary, "");
        }
        if let Some(place) = &self.used_at {
            let label = "this use of the fragment";
            group = marked(group, place, AnnotationKind::Context, label);
        }
        if !finding.path.is_empty() {
            let path = format!("on the way {}", finding.path.join(" -> "));
            group = group.element(Level::NOTE.message(escape(&path).into_owned()));
        }
        for line in &finding.help {
            group = group.element(Level::HELP.message(escape(line)));
        }
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        renderer.decor_style(DecorStyle::Ascii).render(&[group])
    }
}

/// The line of a place with its mark, under file, line and column. Where the line
/// had to be cut or escaped before the mark, the column drawn by the renderer would
/// be that of the cut line; then the place is told apart from the line.
fn marked<'a>(
    group: Group<'a>,
    place: &'a Place,
    kind: AnnotationKind,
    label: &'a str,
) -> Group<'a> {
    let (from, to) = place.mark;
    let mark = kind.span(from..to);
    let mark = if label.is_empty() {
        mark
    } else {
        mark.label(label)
    };
    let snippet = Snippet::source(place.text.as_str())
        .line_start(place.line)
        .annotation(mark);
    let before = place.text.get(..from).unwrap_or_default();
    if before.chars().count() + 1 == place.column {
        return group.element(snippet.path(escape(&place.file)));
    }
    let origin = Origin::path(escape(&place.file))
        .line(place.line)
        .char_column(place.column);
    group.element(origin).element(snippet)
}

/// Several findings, a blank line between them, ending in a line end; empty for none.
pub fn draw_all<'a>(findings: impl IntoIterator<Item = &'a Placed>, colour: bool) -> String {
    let drawn: Vec<String> = findings.into_iter().map(|f| f.text(colour)).collect();
    let mut text = drawn.join("\n\n");
    if !text.is_empty() {
        text.push('\n');
    }
    text
}
