//! The stop card, and what is shown when the record is not safe.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;

use super::text::{bar, block, hanging, put};
use super::theme::Theme;
use crate::app::Work;
use crate::record::GENERAL_STOP;

/// The stop card: what to do at the truck first.
pub(super) fn card(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) {
    let wide = usize::from(area.width);
    bar(buf, area, area.top(), "STOP WORK", "", theme.stop());
    let mut lines: Vec<Line<'static>> = Vec::new();
    for text in GENERAL_STOP {
        lines.extend(block(text, wide, 1, theme.title()));
    }
    let roomy = area.height >= 16;
    if roomy {
        lines.push(Line::default());
    }
    lines.extend(card_lines(work, wide));
    if roomy {
        lines.push(Line::default());
    }
    let forced = work.state.stop.is_some_and(|(_, forced)| forced);
    if forced {
        lines.extend(block(
            "A correction undid what made this place safe. There is no carrying on from here.",
            wide,
            1,
            Style::default(),
        ));
    } else {
        lines.extend(block(
            "Carry on (c): everything that may have changed is asked again.",
            wide,
            1,
            Style::default(),
        ));
    }
    let next = work.stop_step().map_or("", |s| s.title.as_str());
    lines.extend(block(
        &format!("Take the stop (t): next \"{next}\"."),
        wide,
        1,
        Style::default(),
    ));
    if let Some(message) = &work.message {
        lines.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    }
    if work.pending.is_some() {
        lines.extend(block("saving", wide, 1, theme.faint()));
    }
    let under = Rect {
        y: area.y + 1 + u16::from(roomy),
        height: area.height.saturating_sub(1 + u16::from(roomy)),
        ..area
    };
    put(buf, under, &lines);
}

/// What the phase's card says to do at the truck.
fn card_lines(work: &Work, wide: usize) -> Vec<Line<'static>> {
    let plain = Style::default();
    let card = work.stop_phase().into_iter().flat_map(|p| &p.stop_card);
    card.flat_map(|text| hanging(" - ", plain, &work.say(text), wide, plain))
        .collect()
}

/// A failed write: nothing more can be entered; make the truck safe from paper.
pub(super) fn not_safe(buf: &mut Buffer, area: Rect, work: &Work, theme: Theme) {
    let wide = usize::from(area.width);
    bar(buf, area, area.top(), "RECORD NOT SAFE", "", theme.stop());
    let mut lines: Vec<Line<'static>> = Vec::new();
    let why = work.failed.as_deref().unwrap_or("");
    lines.extend(block(why, wide, 1, theme.title()));
    lines.extend(block(
        "Everything up to the last confirmed entry is kept. Nothing more can be entered here.",
        wide,
        1,
        Style::default(),
    ));
    lines.push(Line::default());
    for text in GENERAL_STOP {
        lines.extend(block(text, wide, 1, theme.title()));
    }
    lines.extend(card_lines(work, wide));
    if let Some(step) = work.stop_step() {
        lines.extend(block(
            &format!("Go on from paper: \"{}\".", step.title),
            wide,
            1,
            Style::default(),
        ));
        for text in &step.instructions {
            lines.extend(hanging(
                " - ",
                Style::default(),
                &work.say(text),
                wide,
                Style::default(),
            ));
        }
    }
    lines.push(Line::default());
    lines.extend(block(
        "? then c: save a whole copy of the record elsewhere. q: leave; the copy or the status sheet goes on from here.",
        wide,
        1,
        Style::default(),
    ));
    if let Some(message) = &work.message {
        lines.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
    }
    let under = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    };
    put(buf, under, &lines);
}
