//! What lies over a step.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "only two rows of the menu have a state"
)]

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::item;
use super::page::read;
use super::step::{hazards, limit_words, place_words, sign};
use super::text::{bar, block, clip, hanging, put, width};
use super::theme::Theme;
use super::wide::route_lines;
use crate::app::{App, MenuRow, Over, Reason, Review, ReviewRow, Work};
use crate::app::{instrument_rows, review_stage};
use crate::job::Answer;

/// Paints what lies over the step; gives where the cursor stands.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    app: &App,
    work: &Work,
    theme: Theme,
) -> Option<(u16, u16)> {
    let wide = usize::from(area.width);
    let under = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    };
    let title = match &work.over {
        Over::None | Over::Trial(_) => "",
        Over::Menu(_) => "HELP AND MORE",
        Over::Why(_) => "WHY THIS STEP, AND ITS CAUTIONS",
        Over::Route(_) => "ROUTE",
        Over::Review(_) => "VALUES GIVEN SO FAR",
        Over::Reason(_) => "IN WORDS",
        Over::Instruments(_) => "INSTRUMENTS IN USE",
        Over::Leaving if work.practise.is_some() => "LEAVE THE DRILL?",
        Over::Leaving => "LEAVE IT FOR NOW?",
    };
    bar(
        buf,
        area,
        area.top(),
        title,
        &place_words(work),
        theme.header(),
    );
    match &work.over {
        Over::None => {}
        Over::Menu(at) => menu(buf, under, app, *at, theme),
        Over::Why(top) => read(buf, under, &why(work, wide, theme), *top, theme),
        Over::Route(top) => {
            let lines: Vec<Line<'static>> = route_lines(work, wide.saturating_sub(2), theme)
                .into_iter()
                .map(|(line, _)| line)
                .collect();
            read(buf, under, &lines, *top, theme);
        }
        Over::Review(shown) => return review(buf, under, work, shown, theme),
        Over::Reason(reason) => return Some(words(buf, under, reason, theme)),
        Over::Instruments(at) => instruments(buf, under, work, *at, theme),
        Over::Leaving if work.practise.is_some() => {
            let say = "The drill ends here and can't be gone on with. Its debrief comes next, as far as you went.";
            put(buf, under, &block(say, wide, 1, theme.title()));
        }
        Over::Leaving => {
            put(buf, under, &leaving(work, wide, theme));
        }
        Over::Trial(trial) => super::trial::paint(buf, area, trial, theme),
    }
    None
}

const fn on_off(on: bool) -> &'static str {
    if on { " (on)" } else { " (off)" }
}

fn menu(buf: &mut Buffer, area: Rect, app: &App, at: usize, theme: Theme) {
    let mut lines: Vec<Line<'static>> = Vec::new();
    for (n, row) in MenuRow::ALL.iter().enumerate() {
        let (key, label) = row.label();
        let state = match row {
            MenuRow::Bell => on_off(app.settings.bell),
            MenuRow::Turns => on_off(app.settings.turns),
            _ => "",
        };
        let style = if n == at {
            theme.focus()
        } else {
            Style::default()
        };
        let mark = if n == at { " > " } else { "   " };
        lines.push(Line::from(vec![
            Span::raw(mark),
            Span::styled(format!("{key}"), theme.key()),
            Span::styled(format!("  {label}{state} "), style),
        ]));
    }
    let rows = usize::from(area.height);
    let top = (at + 1).saturating_sub(rows);
    let shown: Vec<Line<'static>> = lines.into_iter().skip(top).collect();
    put(buf, area, &shown);
}

/// Why the step is there, its limits with their why, all its cautions whole.
fn why(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let plain = Style::default();
    let Some(step) = work.step() else {
        return Vec::new();
    };
    let mut lines = block(&step.title.to_uppercase(), wide, 1, theme.title());
    for text in &step.why {
        lines.extend(block(&work.say(text), wide, 1, plain));
    }
    if step.why.is_empty() {
        lines.extend(block(
            "The author gave no reason for this step.",
            wide,
            1,
            theme.faint(),
        ));
    }
    for limit in &step.limits {
        lines.push(Line::default());
        let title = match &limit.subject {
            crate::procedure::Subject::Value(id) | crate::procedure::Subject::Difference(id, _) => {
                let known = work.setup.procedure.value(id);
                known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned())
            }
            crate::procedure::Subject::Age(c) => c.to_string(),
        };
        let grade = match limit.grade {
            crate::procedure::Grade::Interlock => "no way past it",
            crate::procedure::Grade::Advice => "may be passed with a reason",
        };
        let text = format!(
            "Limit: {title} {} ({}, {grade})",
            limit_words(work, limit),
            limit.rule.name()
        );
        lines.extend(block(&text, wide, 1, theme.title()));
        lines.extend(block(&limit.why, wide, 3, plain));
        for text in &limit.too_close {
            let said = text.trim_start_matches("Too close: ");
            lines.extend(block(&format!("Too close to call: {said}"), wide, 3, plain));
        }
    }
    for hazard in hazards(work, step) {
        lines.push(Line::default());
        lines.push(Line::from(vec![
            Span::styled(sign(hazard.signal), theme.signal(hazard.signal)),
            Span::styled(format!(" {}", hazard.title), theme.title()),
        ]));
        lines.extend(block(&hazard.consequence, wide, 3, plain));
        for text in &hazard.avoid {
            lines.extend(block(&work.say(text), wide, 3, plain));
        }
    }
    lines.push(Line::default());
    lines.extend(block(
        "The vehicle maker's instructions, local rules and licensed practice come first.",
        wide,
        1,
        plain,
    ));
    lines
}

fn words(buf: &mut Buffer, area: Rect, reason: &Reason, theme: Theme) -> (u16, u16) {
    let wide = usize::from(area.width);
    let mut lines = vec![Line::default()];
    lines.extend(block(&reason.asks, wide, 1, theme.title()));
    let row = lines.len() as u16;
    let text = reason.field.text();
    let room = wide.saturating_sub(4).max(8);
    let start = reason.field.cursor().saturating_sub(room.saturating_sub(1));
    let shown: String = text.chars().skip(start).take(room).collect();
    lines.push(Line::from(vec![
        Span::raw(" > "),
        Span::styled(format!("{:<20}", clip(&shown, room)), theme.field()),
    ]));
    if let Some(message) = &reason.message {
        lines.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    }
    put(buf, area, &lines);
    let before: String = text
        .chars()
        .skip(start)
        .take(reason.field.cursor() - start)
        .collect();
    (area.x + 3 + width(&before) as u16, area.y + row)
}

fn instruments(buf: &mut Buffer, area: Rect, work: &Work, at: usize, theme: Theme) {
    let wide = usize::from(area.width);
    let mut lines = Vec::new();
    let mut last = None;
    let mut focus_line = 0;
    for (n, (role, id, used)) in instrument_rows(work).into_iter().enumerate() {
        if last.as_ref() != Some(&role) {
            let title = work.setup.procedure.roles.get(&role);
            let title = title.map_or_else(|| role.to_string(), |r| r.title.clone());
            lines.push(Line::from(Span::styled(format!(" {title}"), theme.title())));
            last = Some(role);
        }
        let known = work.setup.instruments.list.get(&id);
        let text = known.map_or_else(
            || id.to_string(),
            |i| match i.metrology.due() {
                Some(due) => format!("{}, due {due}", i.title),
                None => i.title.clone(),
            },
        );
        let focused = n == at;
        if focused {
            focus_line = lines.len();
        }
        let style = if focused {
            theme.focus()
        } else {
            Style::default()
        };
        let mark = if used { "in use " } else { "       " };
        let lead = if focused { " > " } else { "   " };
        lines.push(Line::from(vec![
            Span::raw(format!("{lead}{mark}")),
            Span::styled(clip(&text, wide.saturating_sub(12)), style),
        ]));
    }
    let rows = usize::from(area.height);
    let top = (focus_line + 1).saturating_sub(rows);
    let shown: Vec<Line<'static>> = lines.into_iter().skip(top).collect();
    put(buf, area, &shown);
}

/// What is left behind when the job is left for now.
fn leaving(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let plain = Style::default();
    let mut lines = vec![Line::default()];
    lines.extend(block(
        "The job stays where it is; nothing is lost. What stays true meanwhile at the truck:",
        wide,
        1,
        theme.title(),
    ));
    let held: Vec<String> = work
        .state
        .conditions
        .keys()
        .map(|id| {
            let known = work.setup.procedure.conditions.get(id);
            known.map_or_else(|| id.to_string(), |c| c.title.clone())
        })
        .collect();
    lines.extend(block(&held.join(" · "), wide, 1, plain));
    let duties = work.state.duties.keys();
    let owed: Vec<String> = duties
        .filter_map(|d| work.setup.procedure.duties.get(d))
        .map(|d| d.title.clone())
        .collect();
    if !owed.is_empty() {
        lines.extend(block(
            &format!("Still to do: {}", owed.join(" · ")),
            wide,
            1,
            plain,
        ));
    }
    lines.push(Line::default());
    lines.extend(block(
        "Is it safe to walk away from? If not, stay (Esc) and stop work.",
        wide,
        1,
        theme.title(),
    ));
    lines
}

fn review(
    buf: &mut Buffer,
    area: Rect,
    work: &Work,
    review: &Review,
    theme: Theme,
) -> Option<(u16, u16)> {
    let wide = usize::from(area.width);
    let (prompt, field) = review_stage(review);
    let foot = if prompt.is_some() { 4 } else { 1 };
    let list = Rect {
        height: area.height.saturating_sub(foot),
        ..area
    };
    let rows = usize::from(list.height);
    let top = (review.focus + 1).saturating_sub(rows);
    let mut lines: Vec<Line<'static>> = Vec::new();
    for (n, row) in review.rows.iter().enumerate().skip(top).take(rows) {
        let focused = n == review.focus;
        let style = if focused {
            theme.focus()
        } else {
            Style::default()
        };
        let mark = if focused { " > " } else { "   " };
        let text = clip(&row_words(work, row), wide.saturating_sub(4));
        lines.push(Line::from(Span::styled(format!("{mark}{text} "), style)));
    }
    if review.rows.is_empty() {
        lines.extend(block("Nothing was given yet.", wide, 1, Style::default()));
    }
    put(buf, list, &lines);
    let mut below: Vec<Line<'static>> = Vec::new();
    let mut cursor = None;
    if let (Some(prompt), Some(field)) = (prompt, field) {
        let old = review.row().map(|r| row_words(work, r)).unwrap_or_default();
        below.extend(
            block(&format!("was: {old}"), wide, 1, Style::default())
                .into_iter()
                .take(1),
        );
        let head = format!(" {prompt}: ");
        cursor = Some((
            area.x + (width(&head) + field.cursor()) as u16,
            list.bottom() + below.len() as u16,
        ));
        below.push(Line::from(vec![
            Span::styled(head, theme.title()),
            Span::styled(format!("{:<12}", field.text()), theme.field()),
        ]));
    }
    if let Some(message) = &review.message {
        below.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    }
    put(
        buf,
        Rect {
            y: list.bottom(),
            height: foot,
            ..area
        },
        &below,
    );
    cursor
}

fn row_words(work: &Work, row: &ReviewRow) -> String {
    match row {
        ReviewRow::Reading(id) => {
            let title = work.setup.procedure.value(id).map_or("", |(t, _)| t);
            let Some(taken) = work.state.values.get(id) else {
                return title.to_owned();
            };
            let unit = item::unit_of(work, id);
            let value = taken.measured.value();
            let shown = item::spoken(value, unit, unit.usual_decimals(value.kind()));
            let step = work
                .setup
                .step(&taken.step)
                .map_or("", |s| s.title.as_str());
            format!("{title}: {shown}   ({step}; {})", taken.by)
        }
        ReviewRow::Tick(step, tick) => {
            let known = work.setup.step(step);
            let text = known.and_then(|s| s.ticks.iter().find(|t| &t.id == tick));
            let answer = work.state.passed.get(step).and_then(|p| p.ticks.get(tick));
            let (text, yes, no) = text.map_or(("", "yes", "no"), |t| {
                (t.text.as_str(), t.yes.as_str(), t.no.as_str())
            });
            let said = match answer {
                Some(Answer::Yes(words)) if words.is_empty() => yes.to_owned(),
                Some(Answer::Yes(words)) => words.clone(),
                Some(Answer::No) => no.to_owned(),
                Some(Answer::NotApplicable(why)) => format!("does not apply: {why}"),
                None => String::new(),
            };
            format!("{}: {said}", work.say(text))
        }
    }
}
