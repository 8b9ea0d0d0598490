//! What a sum gives: each result with its uncertainty, where most of that comes
//! from, and what a check by trials gave beside it.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::calculation::{Look, capital, label_room};
use super::text::{block, clip, hanging, width};
use super::theme::Theme;
use crate::app::{Answer, Calculation, Field, Weight};
use crate::calc::{Drawn, Evaluation, Found, Output, Trials};
use crate::quantity::{Measured, Quantity, Unit};

/// Significant digits that an exact result is shown with at least.
const DIGITS: f64 = 10.0;

/// Everything that is said of the results.
pub(super) fn lines(open: &Calculation, look: Look) -> Vec<Line<'static>> {
    let Look { wide, far, theme } = look;
    let focused = open.on_results();
    let mut lines = Vec::new();
    if !far || focused {
        let (mark, style) = if focused {
            (" > ", theme.focus())
        } else {
            (" ", theme.title())
        };
        lines.push(Line::from(vec![
            Span::styled(mark, theme.title()),
            Span::styled("Results ", style),
        ]));
    }
    match open.answer() {
        Answer::Waits(why) => {
            for output in open.sum.outputs {
                lines.extend(result(output.title, "—", look, Style::default()));
            }
            lines.extend(block(why, wide.saturating_sub(1), 3, Style::default()));
            if !far && open.fields.iter().all(Field::is_empty) {
                let say = "In this row (↑ leads to it) e puts an example in.";
                lines.extend(block(say, wide.saturating_sub(1), 3, theme.faint()));
            }
        }
        Answer::Found(found) => {
            for (at, output) in there(open, found) {
                lines.extend(one(open, found, at, output, look));
            }
            lines.extend(trials_note(open, wide, theme));
            if open.can_check() && open.trials().is_none() && focused {
                let say =
                    "m works it out 20,000 times, with values drawn at random within their limits.";
                lines.extend(block(say, wide.saturating_sub(1), 3, theme.faint()));
            }
            if !open.can_check() && !far {
                let say = "No uncertainty was typed, so none is shown.";
                lines.extend(block(say, wide.saturating_sub(1), 3, theme.faint()));
            }
        }
    }
    lines
}

/// As much of the results as fits into so many rows: the values before what is said
/// of them, the reason before the names of what is missing.
pub(super) fn fitting(
    open: &Calculation,
    whole: Vec<Line<'static>>,
    most: usize,
    look: Look,
) -> Vec<Line<'static>> {
    let Look { wide, theme, .. } = look;
    if whole.len() <= most {
        return whole;
    }
    let mut lines = Vec::new();
    match open.answer() {
        Answer::Waits(why) => {
            lines.extend(hanging(
                " —  ",
                theme.title(),
                why,
                wide.saturating_sub(1),
                Style::default(),
            ));
        }
        Answer::Found(found) => {
            for (at, output) in there(open, found) {
                let (text, style) = value(open, found, at, theme);
                lines.extend(result(output.title, &text, look, style));
            }
        }
    }
    if lines.len() > most {
        lines.truncate(most.saturating_sub(1));
        let more = " … more in the results row";
        lines.push(Line::from(Span::styled(clip(more, wide), theme.key())));
    }
    lines
}

/// A result in one line where it fits, its title before it.
fn result(title: &str, text: &str, look: Look, style: Style) -> Vec<Line<'static>> {
    let Look { wide, far, .. } = look;
    let room = label_room(wide);
    let before = room + 4;
    if !far && width(title) <= room && before + width(text) < wide {
        let pad = " ".repeat(room + 1 - width(title));
        return vec![Line::from(vec![
            Span::raw(format!("   {title}{pad}")),
            Span::styled(text.to_owned(), style),
        ])];
    }
    let mut lines = if far {
        block(&capital(title), wide.saturating_sub(1), 1, Style::default())
    } else {
        block(title, wide.saturating_sub(1), 3, Style::default())
    };
    let at_end = lines.last().map_or(0, Line::width) + 2 + width(text);
    if at_end < wide
        && let Some(last) = lines.last_mut()
    {
        last.spans.push(Span::raw("  "));
        last.spans.push(Span::styled(text.to_owned(), style));
        return lines;
    }
    let indent = if far { 3 } else { 6 };
    lines.extend(block(text, wide.saturating_sub(1), indent, style));
    lines
}

/// The results that are listed: one that need not be, and is not, is left out; the
/// main one stands always.
fn there<'a>(
    open: &Calculation,
    found: &'a Evaluation,
) -> impl Iterator<Item = (usize, &'static Output)> + use<'a> {
    let outputs = open.sum.outputs.iter().enumerate();
    outputs.filter(|(at, output)| {
        let is_there = found.results.get(*at).is_some_and(Option::is_some);
        *at == 0 || is_there || !output.optional
    })
}

fn unit_of(open: &Calculation, measured: &Measured, at: usize) -> Unit {
    let system = open.system();
    let kind = measured.kind();
    let output = open.sum.outputs.get(at);
    output.map_or(kind.shown(system), |o| o.unit_of(kind, system))
}

/// A result's value in words, with its uncertainty if it has one.
fn value(open: &Calculation, found: &Evaluation, at: usize, theme: Theme) -> (String, Style) {
    match found.results.get(at) {
        Some(Some(Found::Value { measured, .. })) => {
            let unit = unit_of(open, measured, at);
            let plain = open.sum.outputs.get(at).is_some_and(|o| o.plain);
            let figure = measured.value();
            let text = match (measured.expanded().si() > 0.0, plain) {
                (true, true) => measured.figure_in(unit),
                (true, false) => measured.sentence_in(unit),
                (false, true) => figure.show(unit, decimals(figure, unit)),
                (false, false) => figure.show_in_words(unit, decimals(figure, unit)),
            };
            (text, theme.title())
        }
        Some(Some(Found::Text(text))) => ((*text).to_owned(), theme.title()),
        Some(None) | None => ("none with these values".to_owned(), Style::default()),
    }
}

/// Decimals of a value without uncertainty: the usual ones, more where it is small.
fn decimals(value: Quantity, unit: Unit) -> u8 {
    let usual = unit.usual_decimals(value.kind());
    let size = value.in_unit(unit).map_or(0.0, f64::abs);
    let mut places = usual;
    while size > 0.0 && size * 10f64.powi(i32::from(places)) < DIGITS && places < 9 {
        places += 1;
    }
    places
}

fn one(
    open: &Calculation,
    found: &Evaluation,
    at: usize,
    output: &Output,
    look: Look,
) -> Vec<Line<'static>> {
    let Look { wide, far, theme } = look;
    let (text, style) = value(open, found, at, theme);
    let mut lines = result(output.title, &text, look, style);
    let indent = if far { 3 } else { 6 };
    let more = wide.saturating_sub(1);
    if let Some(weight) = open.weight(at) {
        lines.extend(block(&words(open, weight), more, indent, Style::default()));
    }
    if let (Some(Ok(trials)), Some(measured)) = (open.trials(), found.value(at)) {
        let drawn = trials.results.iter().find(|d| d.output == at);
        let unit = unit_of(open, &measured, at);
        if let Some(text) = drawn.and_then(|drawn| drawn_words(trials, drawn, unit)) {
            lines.extend(block(&text, more, indent, theme.title()));
        }
        if drawn.is_some_and(|drawn| differs(measured.u().si(), drawn.deviation.si())) {
            let say = "differs: the trials count";
            lines.extend(block(say, more, indent, theme.message()));
        }
    }
    lines
}

/// Where most of an uncertainty comes from, in words.
fn words(open: &Calculation, weight: Weight) -> String {
    let title = |at: usize| open.sum.inputs.get(at).map_or("", |i| i.title);
    match weight {
        Weight::All(at) => format!("all of it from {}", title(at)),
        Weight::Percent(at, percent) if percent >= 50 => {
            format!("most of it, {percent} %, from {}", title(at))
        }
        Weight::Percent(at, percent) => {
            format!("the largest part, {percent} %, from {}", title(at))
        }
        Weight::Alike => "several values bring the same; none brings more".to_owned(),
        Weight::Instrument(at, percent) => format!(
            "most of it, {percent} %, is one instrument's own error, in {} and others",
            title(at)
        ),
    }
}

/// Whether the trials' uncertainty differs from first order by more than a third.
fn differs(first_order: f64, drawn: f64) -> bool {
    (drawn - first_order).abs() > first_order / 3.0
}

/// What the trials gave for a result, beside the first order.
fn drawn_words(trials: &Trials, drawn: &Drawn, unit: Unit) -> Option<String> {
    let measured = Measured::new(drawn.mean, drawn.deviation).ok()?;
    let said = measured.sentence_in(unit);
    // As many decimals as the trials' U is shown with.
    let shown = said.split_whitespace().next().unwrap_or("");
    let places = shown.split_once('.').map_or(0, |(_, after)| {
        after.chars().take_while(char::is_ascii_digit).count()
    });
    let places = u8::try_from(places).unwrap_or(0);
    Some(format!(
        "by {} trials {said}, 95 % of them from {} to {}",
        thousands(trials.made),
        drawn.low.show_in_words(unit, places),
        drawn.high.show_in_words(unit, places),
    ))
}

fn thousands(count: usize) -> String {
    if count < 1_000 {
        return count.to_string();
    }
    format!("{},{:03}", count / 1_000, count % 1_000)
}

/// What must be said of the trials as a whole.
fn trials_note(open: &Calculation, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let wide = wide.saturating_sub(1);
    match open.trials() {
        Some(Ok(trials)) if trials.refused > 0 => {
            let say = format!(
                "{} trials fell where the sum can't be worked out; they are left out.",
                thousands(trials.refused)
            );
            block(&say, wide, 3, theme.message())
        }
        Some(Err(why)) => block(&format!("No trials. {why}"), wide, 3, theme.message()),
        Some(Ok(_)) | None => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::differs;

    #[test]
    fn more_than_a_third_either_way_is_said() {
        assert!(differs(3.0, 4.1) && differs(3.0, 1.9));
        assert!(!differs(3.0, 3.9) && !differs(3.0, 2.1) && !differs(0.0, 0.0));
    }
}
