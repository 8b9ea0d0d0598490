//! The trial of the hold key.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;

use super::text::{bar, block, put};
use super::theme::Theme;
use crate::app::Trial;
use crate::hold::{CalibrationView, Ruling};

/// What is tried, how it stands, what came of it.
pub(super) fn paint(buf: &mut Buffer, area: Rect, trial: &Trial, theme: Theme) {
    let wide = usize::from(area.width);
    bar(
        buf,
        area,
        area.top(),
        "TRY THE HOLD KEY",
        "",
        theme.header(),
    );
    let plain = Style::default();
    let mut lines: Vec<Line<'static>> = vec![Line::default()];
    let about = "Stops-and-checks are passed by holding Space. Not every terminal shows when a key is let go; this finds out. Where it can't be shown, a slower way is used that fails safe.";
    lines.extend(block(about, wide, 1, plain));
    lines.push(Line::default());
    let says = match (&trial.ruling, trial.calibration.view()) {
        (Some(ruling), _) => ruling_words(ruling),
        (None, CalibrationView::Waiting { .. }) => "Hands off the keys for a moment.".to_owned(),
        (None, CalibrationView::Ready) => "Hold Space for two seconds, then let go.".to_owned(),
        (None, CalibrationView::Held { held, repeats }) => format!(
            "Space is down for {:.1} s, {repeats} repeats. Let go after two seconds.",
            held.as_secs_f64()
        ),
        (None, CalibrationView::Over) => "Done.".to_owned(),
    };
    lines.extend(block(&says, wide, 1, theme.title()));
    let under = Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    };
    put(buf, under, &lines);
}

fn ruling_words(ruling: &Ruling) -> String {
    match ruling {
        Ruling::Proven { .. } => {
            "Proven: the letting go is shown here. Holds are taken as they are.".to_owned()
        }
        Ruling::NoRepeats { .. } => {
            "The letting go is shown, without repeats. Taken on this machine, not over a network."
                .to_owned()
        }
        Ruling::NoRelease => {
            "No letting go is shown here. A caution is passed by the rhythm of the key's repeats, a danger by two keys in turn.".to_owned()
        }
        Ruling::Untrue(cause) => format!("Not to be relied on: {cause} A danger is passed by two keys in turn."),
        Ruling::Again(_) => "That was not clear. Press Enter and try again.".to_owned(),
    }
}
