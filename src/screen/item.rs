//! What a step asks, as lines: label, value, echo, verdict in words.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "each kind of item is drawn in one of two places"
)]

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::clock;
use super::text::{clip, hanging, width, wrap};
use super::theme::Theme;
use super::worked;
use crate::app::{Item, ItemKind, Preview, Work, preview};
use crate::job::{Answer, Judged, Taken};
use crate::procedure::{Outcome, Subject, ValueId};
use crate::quantity::{Unit, Verdict};

/// One item as it is drawn, and where its cursor stands.
pub(super) struct Drawn {
    /// Its lines; the first has the label.
    pub(super) lines: Vec<Line<'static>>,
    /// Column of the cursor in the first line, if it takes typing and is in focus.
    pub(super) cursor: Option<u16>,
}

pub(super) use crate::app::shown_unit as unit_of;

/// Draws an item; `wide` is how many cells there are.
pub(super) fn draw(work: &Work, item: &Item, focused: bool, wide: usize, theme: Theme) -> Drawn {
    match &item.kind {
        ItemKind::Reading(id) | ItemKind::Watch(_, id) | ItemKind::Witness(id) => {
            value(work, item, id, focused, wide, theme)
        }
        ItemKind::Attest(condition, Some(id)) => {
            let known = work.setup.procedure.conditions.get(condition);
            let question = known
                .and_then(|c| c.ask.as_ref())
                .map_or("", |a| a.question.as_str());
            let mut drawn = value(work, item, id, focused, wide, theme);
            let mut lines = hanging(" again ", theme.key(), question, wide, Style::default());
            if let Some(cursor) = drawn.cursor {
                // The value is under the question; it keeps its column.
                drawn.cursor = Some(cursor);
                drawn.lines.extend(std::mem::take(&mut lines));
            } else {
                lines.append(&mut drawn.lines);
                drawn.lines = lines;
            }
            drawn
        }
        _ => Drawn {
            lines: plain(work, item, focused, wide, theme),
            cursor: None,
        },
    }
}

fn mark(focused: bool) -> &'static str {
    if focused { " > " } else { "   " }
}

/// Width of the label column.
fn label_room(wide: usize) -> usize {
    (wide * 2 / 5).clamp(14, 34)
}

fn value(
    work: &Work,
    item: &Item,
    id: &ValueId,
    focused: bool,
    wide: usize,
    theme: Theme,
) -> Drawn {
    let title = label(work, item, id);
    let room = label_room(wide);
    let unit = unit_of(work, id);
    let symbol = work
        .setup
        .procedure
        .value(id)
        .map_or_else(String::new, |(_, kind)| unit.symbol_for(kind));
    let style = if focused {
        theme.title()
    } else {
        Style::default()
    };
    let head = format!("{}{}", mark(focused), clip(&title, room));
    let head = format!("{head:<0$}", room + 4);
    if focused {
        return typing(work, item, id, head, style, &symbol, wide, theme);
    }
    let given = given_text(work, item, id, unit);
    let mut spans = vec![Span::styled(head, style)];
    match given {
        Some((text, taken)) => {
            spans.push(Span::styled(text, theme.title()));
            let verdict = stored_verdict(work, item, id, &taken);
            if let Some((words, verdict)) = verdict {
                let left = wide.saturating_sub(spans.iter().map(Span::width).sum::<usize>() + 3);
                spans.push(Span::raw("  "));
                spans.push(Span::styled(shorter(&words, left), theme.verdict(verdict)));
            }
        }
        None => spans.push(Span::styled(format!("····  {symbol}"), theme.faint())),
    }
    Drawn {
        lines: vec![Line::from(spans)],
        cursor: None,
    }
}

/// A verdict that fits: whole, or without its rule and uncertainty, or cut.
fn shorter(words: &str, cells: usize) -> String {
    if width(words) <= cells {
        return words.to_owned();
    }
    let bare = words.split(" (").next().unwrap_or(words);
    clip(bare, cells)
}

fn label(work: &Work, item: &Item, id: &ValueId) -> String {
    let title = work
        .setup
        .procedure
        .value(id)
        .map_or_else(|| id.to_string(), |(title, _)| title.to_owned());
    match (&item.kind, &work.witness) {
        (ItemKind::Watch(..), _) => format!("due now: {title}"),
        (ItemKind::Witness(_), Some(name)) => format!("{title}, read by {name}"),
        (ItemKind::Witness(_), None) => format!("{title}, second reader"),
        _ => title,
    }
}

/// A value as people say it: an inclination in degrees as nose up or nose down,
/// a floor's in mm/m or percent with its sign.
pub(super) fn spoken(quantity: crate::quantity::Quantity, unit: Unit, decimals: u8) -> String {
    if unit == Unit::Degree {
        quantity.show_in_words(unit, decimals)
    } else {
        quantity.show(unit, decimals)
    }
}

/// A value that was given, as it is shown.
fn given_text(work: &Work, item: &Item, id: &ValueId, unit: Unit) -> Option<(String, Taken)> {
    let current = work.state.current();
    let taken = match &item.kind {
        ItemKind::Witness(_) => current.witnessed.get(id)?,
        ItemKind::Reading(_) if current.readings.contains(id) => work.state.value(id)?,
        _ => return None,
    };
    let quantity = taken.measured.value();
    // A figure that was typed is shown whole: it decides.
    let typed = crate::quantity::read(&taken.typed, quantity.kind(), unit).ok();
    let typed = typed.filter(|t| t.unit == unit).map_or(0, |t| t.decimals);
    let decimals = unit.usual_decimals(quantity.kind()).max(typed);
    Some((spoken(quantity, unit, decimals), taken.clone()))
}

fn stored_verdict(
    work: &Work,
    item: &Item,
    id: &ValueId,
    _taken: &Taken,
) -> Option<(String, Verdict)> {
    if !matches!(item.kind, ItemKind::Reading(_)) {
        return None;
    }
    let step = work.step()?;
    let judged = work.state.current().judged.iter().find(|j| {
        step.limits
            .get(j.limit)
            .is_some_and(|l| l.subject == Subject::Value(id.clone()))
    })?;
    Some((verdict_words(work, judged), judged.judgement.verdict))
}

/// A verdict in words, with margin, U, k and rule.
pub(super) fn verdict_words(work: &Work, judged: &Judged) -> String {
    let step = work.step();
    let limit = step.and_then(|s| s.limits.get(judged.limit));
    let unit = limit.and_then(|l| match &l.subject {
        Subject::Value(id) | Subject::Difference(id, _) => Some(unit_of(work, id)),
        Subject::Age(_) => None,
    });
    let fits = unit.filter(|u| u.fits(judged.judgement.margin.kind()));
    let said = match fits {
        Some(unit) => judged.judgement.sentence_in(unit),
        None => judged.judgement.sentence(work.system()),
    };
    let overridden = work
        .state
        .current()
        .overrides
        .get(&judged.limit)
        .map(|why| {
            let bare = said.split(" (").next().unwrap_or(&said);
            format!("{bare}, passed: {why}")
        });
    overridden.unwrap_or(said)
}

#[expect(
    clippy::too_many_arguments,
    reason = "the pieces of one line, taken apart only here"
)]
fn typing(
    work: &Work,
    item: &Item,
    id: &ValueId,
    head: String,
    style: Style,
    symbol: &str,
    wide: usize,
    theme: Theme,
) -> Drawn {
    let typed = work.field.text().to_owned();
    let shown = format!("{typed:<8}");
    let before: String = typed.chars().take(work.field.cursor()).collect();
    let cursor = width(&head) + width(&before);
    let mut lines = vec![Line::from(vec![
        Span::styled(head, style),
        Span::styled(clip(&shown, wide.saturating_sub(24)), theme.field()),
        Span::raw(if says_unit(&typed) {
            String::new()
        } else {
            format!(" {symbol}")
        }),
    ])];
    let at = work.at(0);
    let said: Vec<(String, Style)> = match preview(work, id, &typed, at) {
        Preview::Empty => {
            let mut said = Vec::new();
            if let Some((old, _)) = given_text(work, item, id, unit_of(work, id)) {
                said.push((format!("was {old}; Enter keeps it"), theme.title()));
            }
            said.extend(hint_lines(work, item, id, theme));
            said
        }
        Preview::Misread(misread) => vec![(misread.to_string(), theme.message())],
        Preview::Understood {
            typed,
            judged,
            refusal,
            taken,
        } => {
            let mut said = vec![(
                format!("that is {}", typed.echo(unit_of(work, id))),
                Style::default(),
            )];
            if taken.is_some() {
                // What is told of workings stands in their own section.
                let here = |j: &&Judged| {
                    let limit = work.step().and_then(|s| s.limits.get(j.limit));
                    !limit.is_some_and(|limit| worked::tells(work, limit))
                };
                said.extend(judged.iter().filter(here).map(|j| {
                    let words = about(work, j, &verdict_words(work, j));
                    let words = if wide < 60 {
                        words.split(" (").next().unwrap_or(&words).to_owned()
                    } else {
                        words
                    };
                    (words, theme.verdict(j.judgement.verdict))
                }));
            }
            if let Some(refusal) = refusal.filter(|_| matches!(item.kind, ItemKind::Reading(_))) {
                said.push((refusal.to_string(), theme.message()));
            }
            said
        }
    };
    let indent = 6;
    for (text, style) in said {
        let pad = " ".repeat(indent);
        let wrapped = wrap(&text, wide.saturating_sub(indent));
        lines.extend(
            wrapped
                .into_iter()
                .map(|l| Line::from(vec![Span::raw(pad.clone()), Span::styled(l, style)])),
        );
    }
    Drawn {
        lines,
        cursor: u16::try_from(cursor).ok(),
    }
}

/// Whether a message is what stands under the line being typed already.
pub(super) fn says_already(work: &Work, message: &str) -> bool {
    let focused = work.focused().filter(|_| work.typing());
    let reading = focused.as_ref().and_then(Item::reading);
    match reading.map(|id| preview(work, id, work.field.text(), work.at(0))) {
        Some(Preview::Misread(misread)) => misread.to_string() == message,
        Some(Preview::Empty | Preview::Understood { .. }) | None => false,
    }
}

/// Whether what is typed names its unit already.
pub(super) fn says_unit(typed: &str) -> bool {
    typed
        .chars()
        .any(|c| c.is_alphabetic() || matches!(c, '%' | '°' | '"' | '\'' | '″' | '′'))
}

/// A verdict with its limit.
fn about(work: &Work, judged: &Judged, words: &str) -> String {
    let limit = work.step().and_then(|s| s.limits.get(judged.limit));
    let limit = limit.map(|l| super::step::limit_words(work, l));
    format!("{}: {words}", limit.unwrap_or_default())
}

/// What is wanted, while nothing is typed: the limit, or how to read it.
fn hint_lines(work: &Work, item: &Item, id: &ValueId, theme: Theme) -> Vec<(String, Style)> {
    let mut said = Vec::new();
    let reading = work.setup.procedure.readings.get(id);
    if let Some(reading) = reading {
        said.extend(reading.how.iter().map(|h| (h.clone(), Style::default())));
        if let Some(role) = &reading.role {
            let with = work.setup.instrument(&work.state, role);
            let with = with.map_or_else(
                || "no instrument is named: ? then i".to_owned(),
                |i| format!("with {}", i.title),
            );
            said.push((with, theme.faint()));
        }
    }
    if let (ItemKind::Reading(_), Some(step)) = (&item.kind, work.step()) {
        let limits = step
            .limits
            .iter()
            .filter(|l| l.subject == Subject::Value(id.clone()));
        said.extend(limits.map(|l| {
            (
                format!("{} ({})", super::step::limit_words(work, l), l.rule.name()),
                Style::default(),
            )
        }));
    }
    said
}

/// Items that take no typing.
fn plain(work: &Work, item: &Item, focused: bool, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let style = if focused {
        theme.title()
    } else {
        Style::default()
    };
    let lead = mark(focused);
    let says = |text: &str| hanging(lead, style, text, wide, style);
    match &item.kind {
        ItemKind::Tick(id) => tick(work, id, focused, wide, theme),
        ItemKind::Choice(id) => {
            let choice = work
                .step()
                .and_then(|s| s.choices().iter().find(|c| &c.id == id));
            let text = work.say(choice.map_or("", |c| c.text.as_str()));
            let style = if focused {
                theme.focus()
            } else {
                Style::default()
            };
            hanging(lead, style, &text, wide, style)
        }
        ItemKind::Attest(condition, _) => {
            let known = work.setup.procedure.conditions.get(condition);
            let question = known
                .and_then(|c| c.ask.as_ref())
                .map_or_else(|| condition.to_string(), |a| a.question.clone());
            let head = format!("{lead}look again: ");
            hanging(&head, style, &question, wide, style)
        }
        ItemKind::Moved => {
            says("Move it now. Press Enter when it has stopped and you have let go.")
        }
        ItemKind::Confirm => says("Enter: go on"),
        ItemKind::Begin => says("Enter: start the clock"),
        ItemKind::Running => {
            let left = work.countdown().map_or(0, |(left, _)| left);
            says(&format!("the clock runs, {} left", clock::minutes(left)))
        }
        ItemKind::Press => says("Enter: press again, in time"),
        ItemKind::Hold => hold(work, focused, wide, theme),
        ItemKind::GoOn(outcome) => says(&go_on(work, *outcome)),
        ItemKind::Override(limit) => {
            let limit = work.step().and_then(|s| s.limits.get(*limit));
            let about = limit.map_or_else(String::new, |l| {
                let of = super::step::subject_title(work, l);
                format!("{of}, {}", super::step::limit_words(work, l))
            });
            says(&format!("or go past a limit with a reason: {about}"))
        }
        ItemKind::Repeat(step) => {
            let title = work.setup.step(step).map_or("", |s| s.title.as_str());
            says(&format!("still to repeat after a correction: {title}"))
        }
        ItemKind::LeaveRepeat => says("leave this repeat; the old values stay"),
        ItemKind::HandOver(duty) => {
            let title = work.setup.procedure.duties.get(duty);
            let title = title.map_or("", |d| d.title.as_str());
            says(&format!("still to do: {title}. Who takes it on?"))
        }
        ItemKind::HandOverRepeats => says("steps to repeat after corrections. Who sees to it?"),
        ItemKind::Reading(_) | ItemKind::Watch(..) | ItemKind::Witness(_) => Vec::new(),
    }
}

fn go_on(work: &Work, outcome: Outcome) -> String {
    let way = work.step().and_then(|s| s.way(outcome));
    let to = way.and_then(|id| work.setup.step(id));
    let to = to.map_or("the next step", |s| s.title.as_str());
    match outcome {
        Outcome::Pass => format!("Enter: go on to \"{to}\""),
        Outcome::Fail if work.age_left().is_some_and(|left| left > 0) => {
            format!("the time is not up yet; or give up waiting, go on to \"{to}\"")
        }
        Outcome::TooClose => format!("too close to call: go on to \"{to}\""),
        Outcome::Fail | Outcome::Lapsed | Outcome::Spent => {
            format!("not as it must be: go on to \"{to}\"")
        }
    }
}

fn tick(
    work: &Work,
    id: &crate::procedure::TickId,
    focused: bool,
    wide: usize,
    theme: Theme,
) -> Vec<Line<'static>> {
    let Some(tick) = work
        .step()
        .and_then(|s| s.ticks.iter().find(|t| &t.id == id))
    else {
        return Vec::new();
    };
    let answer = work.state.current().ticks.get(id);
    let (said, style) = match answer {
        Some(Answer::Yes(words)) if words.is_empty() => {
            (tick.yes.clone(), theme.verdict(Verdict::Within))
        }
        Some(Answer::Yes(words)) => (words.clone(), theme.verdict(Verdict::Within)),
        Some(Answer::No) => (
            format!("{} — not as it must be", tick.no),
            theme.verdict(Verdict::Outside),
        ),
        Some(Answer::NotApplicable(why)) => (format!("does not apply: {why}"), theme.title()),
        None => {
            let or = if tick.may_not_apply {
                " / does not apply"
            } else {
                ""
            };
            (format!("{} / {}{or}", tick.yes, tick.no), theme.faint())
        }
    };
    let line = if focused {
        theme.title()
    } else {
        Style::default()
    };
    let state = match answer {
        None => "·",
        Some(Answer::No) => "!",
        Some(Answer::Yes(_) | Answer::NotApplicable(_)) => "+",
    };
    let head = format!("{}{state} ", mark(focused));
    let room = wide.saturating_sub(width(&said) + 3);
    let asks = work.say(&tick.text);
    if width(&asks) + width(&head) <= room {
        let text = format!(
            "{:<1$}",
            clip(&asks, room),
            room.saturating_sub(width(&head))
        );
        return vec![Line::from(vec![
            Span::styled(head, line),
            Span::styled(text, line),
            Span::raw("  "),
            Span::styled(clip(&said, wide), style),
        ])];
    }
    let mut lines = hanging(&head, line, &asks, wide, line);
    lines.extend(hanging("     ", Style::default(), &said, wide, style));
    lines
}

/// A hold with what its judge sees.
pub(super) fn hold(work: &Work, focused: bool, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let what = if work
        .step()
        .is_some_and(|s| work.setup.procedure.is_movement(s))
    {
        "Confirm what was seen"
    } else {
        "Confirm before going on"
    };
    let style = if focused {
        theme.title()
    } else {
        Style::default()
    };
    let mut lines = hanging(mark(focused), style, what, wide, style);
    let Some(judge) = &work.judge else {
        return lines;
    };
    let view = judge.view();
    let progress = match view.phase {
        crate::hold::Phase::Holding { progress, .. } => progress,
        crate::hold::Phase::LetGo { .. } | crate::hold::Phase::Committed(_) => 1.0,
        _ => 0.0,
    };
    let cells = wide.saturating_sub(10).clamp(8, 40);
    let full = (progress * cells as f64).round() as usize;
    let bar = format!(
        "   [{}{}]",
        "█".repeat(full.min(cells)),
        "·".repeat(cells.saturating_sub(full))
    );
    lines.push(Line::from(Span::styled(bar, theme.title())));
    lines.extend(hanging("   ", style, &view.text(), wide, theme.title()));
    if let Some(cause) = &view.last_cancel {
        lines.extend(hanging(
            "   ",
            style,
            &cause.to_string(),
            wide,
            theme.message(),
        ));
    }
    lines
}
