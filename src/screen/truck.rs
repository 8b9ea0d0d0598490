//! The truck as it should stand now, from behind, told by the conditions that
//! hold. Conditions by these names are drawn: `on_air`, `on_blocks`, `at_upper`,
//! `at_lower`, `blocks_in`, `stands_in`, `frame_caught`, `wheels_chocked`,
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
            Self::Blocks => "frame sits on the blocks",
            Self::Lower => "frame at the lower stop",
            Self::Unknown => "how the frame stands: not known",
        }
    }
}

/// The drawing with its words.
pub(super) fn lines(work: &Work, theme: Theme) -> Vec<Line<'static>> {
    let holds = |name: &str| {
        work.state
            .conditions
            .iter()
            .any(|(c, held)| c.as_str() == name && !held.stale)
    };
    let frame = if holds("at_upper") {
        Frame::Upper
    } else if holds("on_blocks") || holds("frame_on_blocks") {
        Frame::Blocks
    } else if holds("at_lower") {
        Frame::Lower
    } else if holds("on_air") {
        Frame::Air
    } else {
        Frame::Unknown
    };
    let blocks = holds("blocks_in");
    let stands = holds("stands_in") || holds("frame_caught");
    let mut lines = vec![
        Line::from(Span::styled("AS IT SHOULD STAND NOW", theme.title())),
        Line::from(Span::styled("from behind", theme.faint())),
        Line::default(),
    ];
    // The drawing keeps its height: what the gap does not take stands above.
    lines.extend((frame.gap()..Frame::Upper.gap()).map(|_| Line::default()));
    lines.extend(picture(frame, blocks, stands).into_iter().map(Line::from));
    lines.push(Line::default());
    let mut say =
        |text: &str| lines.push(Line::from(Span::styled(text.to_owned(), Style::default())));
    say(frame.words());
    say(if blocks { "blocks in" } else { "no blocks in" });
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

/// Frame, bellows and blocks, axle, wheels, floor.
fn picture(frame: Frame, blocks: bool, stands: bool) -> Vec<String> {
    let gap = frame.gap();
    let mut rows = vec![
        "     ┌────────────────────────┐   ".to_owned(),
        "     └─┬──┬──┬────────┬──┬──┬─┘   ".to_owned(),
    ];
    for row in 0..gap {
        // A block is three rows high and stands on the axle.
        let in_block = blocks && gap - row <= 3;
        let block = if in_block { "▓▓" } else { "  " };
        let bellows = if frame == Frame::Unknown { "?" } else { ")" };
        let back = if frame == Frame::Unknown { "?" } else { "(" };
        let stand = if stands { "║" } else { " " };
        rows.push(format!(
            "  ▄▄   {back}  {bellows} {block}{stand}    {stand}{block} {back}  {bellows}   ▄▄  "
        ));
    }
    let stand = if stands { "║" } else { "═" };
    rows.push(format!("  ██═══════════{stand}════{stand}═══════════██  "));
    let stand = if stands { "║" } else { " " };
    rows.push(format!("  ██           {stand}    {stand}           ██  "));
    rows.push(
        "──▀▀────────────────────────────▀▀──"
            .chars()
            .take(34)
            .collect(),
    );
    // Rows are drawn at 34 cells; the body above the wheels has no tyre.
    rows.into_iter()
        .enumerate()
        .map(|(n, row)| {
            if n < 2 + gap.saturating_sub(1) {
                row.replace('▄', " ")
            } else {
                row
            }
        })
        .collect()
}
