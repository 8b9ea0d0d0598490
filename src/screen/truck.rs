//! The truck as it should stand now, from behind, told by the conditions that
//! hold, in a movement as it should stand afterwards. Conditions by these names
//! are drawn: `on_air`, `up_on_air`, `at_ride`, `on_blocks`, `frame_on_blocks`,
//! `at_upper`, `at_lower`, `blocks_in`, `blocks_out`, `stands_in`, `frame_caught`, `wheels_chocked`,
//! `levelling_stopped`, `nobody_underneath`, `gauges_on`. Others are not, and
//! where none tells how the frame stands the drawing says so.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::theme::Theme;
use crate::app::Work;

/// Cells that the drawing takes across.
pub(super) const WIDTH: u16 = 34;

/// How the frame stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Frame {
    Upper,
    Air,
    Blocks,
    Lower,
    Unknown,
}

impl Frame {
    /// Rows between frame and axle.
    const fn gap(self) -> usize {
        match self {
            Self::Upper => 5,
            Self::Air | Self::Unknown => 4,
            Self::Blocks => 3,
            Self::Lower => 1,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Upper => "frame at the upper stop",
            Self::Air => "frame up on air",
            Self::Blocks => "frame at ride height",
            Self::Lower => "frame at the lower stop",
            Self::Unknown => "how the frame stands: not known",
        }
    }
}

/// The drawing with its words.
pub(super) fn lines(work: &Work, theme: Theme) -> Vec<Line<'static>> {
    let moving = work
        .step()
        .filter(|s| work.setup.procedure.is_movement(s) && work.state.inside() == Some(&s.id));
    let after = moving.map(crate::procedure::Step::may_establish);
    let gone = moving.map(|s| work.setup.procedure.effective_clears(s));
    let holds = |name: &str| {
        let now = work
            .state
            .conditions
            .iter()
            .any(|(c, held)| c.as_str() == name && !held.stale);
        let then = after.iter().flatten().any(|c| c.as_str() == name);
        let over = gone.iter().flatten().any(|c| c.as_str() == name);
        then || (now && !over)
    };
    let frame = if holds("at_upper") {
        Frame::Upper
    } else if holds("on_blocks") || holds("frame_on_blocks") || holds("at_ride") {
        Frame::Blocks
    } else if holds("at_lower") {
        Frame::Lower
    } else if holds("on_air") || holds("up_on_air") {
        Frame::Air
    } else {
        Frame::Unknown
    };
    let blocks = holds("blocks_in");
    let stands = holds("stands_in") || holds("frame_caught");
    let mut lines = vec![
        Line::from(Span::styled(
            if moving.is_some() {
                "AS IT SHOULD STAND AFTERWARDS"
            } else {
                "AS IT SHOULD STAND NOW"
            },
            theme.title(),
        )),
        Line::from(Span::styled("from behind", theme.faint())),
        Line::default(),
    ];
    // The drawing keeps its height: what the gap does not take stands above.
    lines.extend((frame.gap()..Frame::Upper.gap()).map(|_| Line::default()));
    lines.extend(picture(frame, blocks, stands).into_iter().map(Line::from));
    lines.push(Line::default());
    let mut say =
        |text: &str| lines.push(Line::from(Span::styled(text.to_owned(), Style::default())));
    say(if frame == Frame::Blocks && blocks {
        "frame sits on the blocks"
    } else {
        frame.words()
    });
    say(block_words(blocks, holds("blocks_out")));
    if stands {
        say("stands under the frame");
    }
    for (name, words) in [
        ("wheels_chocked", "front wheels chocked"),
        ("levelling_stopped", "levelling stopped"),
        ("gauges_on", "gauges on both bellows"),
        ("nobody_underneath", "nobody underneath"),
    ] {
        if holds(name) {
            say(words);
        }
    }
    lines
}

/// What is known of the blocks.
const fn block_words(are_in: bool, are_out: bool) -> &'static str {
    match (are_in, are_out) {
        (true, _) => "blocks in",
        (false, true) => "no blocks in",
        (false, false) => "blocks: not looked at",
    }
}

/// Frame, bellows and blocks, axle, wheels, floor: every row 34 cells wide.
fn picture(frame: Frame, blocks: bool, stands: bool) -> Vec<String> {
    let gap = frame.gap();
    let (left, right) = match frame {
        Frame::Unknown => ("?", "?"),
        Frame::Upper | Frame::Air | Frame::Blocks | Frame::Lower => ("(", ")"),
    };
    let stand = if stands { "║" } else { " " };
    let mut rows = vec![
        "      ┌────────────────────┐      ".to_owned(),
        "      └─┬──┬──────────┬──┬─┘      ".to_owned(),
    ];
    for row in 0..gap {
        // A block is three rows high and stands on the axle.
        let block = if blocks && gap - row <= 3 {
            "▓▓"
        } else {
            "  "
        };
        let tyre = if gap - row <= 1 { "▄▄▄" } else { "   " };
        rows.push(format!(
            "  {tyre}   {left}  {right}{block} {stand}  {stand} {block}{left}  {right}   {tyre}  "
        ));
    }
    let axle = if stands { "║" } else { "═" };
    rows.push(format!("  ███══════════{axle}══{axle}══════════███  "));
    rows.push(format!("  ▀▀▀          {stand}  {stand}          ▀▀▀  "));
    rows.push("──────────────────────────────────".to_owned());
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::text::width;

    #[test]
    fn every_row_of_every_picture_is_as_wide_as_the_panel() {
        use Frame::{Air, Blocks, Lower, Unknown, Upper};
        for frame in [Upper, Air, Blocks, Lower, Unknown] {
            for (blocks, stands) in [(false, false), (true, false), (false, true), (true, true)] {
                for row in picture(frame, blocks, stands) {
                    assert_eq!(width(&row), usize::from(WIDTH), "{frame:?}: {row}");
                }
            }
        }
    }
}
