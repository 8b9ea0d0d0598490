//! Large figures for a count-down, and times in words.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

/// Figures three cells wide and five high; the colon is one wide.
const FIGURES: [[&str; 5]; 11] = [
    ["███", "█ █", "█ █", "█ █", "███"],
    [" █ ", "██ ", " █ ", " █ ", "███"],
    ["███", "  █", "███", "█  ", "███"],
    ["███", "  █", " ██", "  █", "███"],
    ["█ █", "█ █", "███", "  █", "  █"],
    ["███", "█  ", "███", "  █", "███"],
    ["███", "█  ", "███", "█ █", "███"],
    ["███", "  █", "  █", " █ ", " █ "],
    ["███", "█ █", "███", "█ █", "███"],
    ["███", "█ █", "███", "  █", "███"],
    [" ", "█", " ", "█", " "],
];

/// Minutes and seconds.
pub(super) fn minutes(ms: u64) -> String {
    let seconds = ms.div_ceil(1000);
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

/// A time in large figures.
pub(super) fn large(ms: u64, style: Style) -> Vec<Line<'static>> {
    let time = minutes(ms);
    (0..5)
        .map(|row| {
            let cells: Vec<&str> = time
                .chars()
                .filter_map(|c| {
                    let index = c.to_digit(10).map_or(10, |d| d as usize);
                    FIGURES.get(index)?.get(row).copied()
                })
                .collect();
            Line::from(Span::styled(format!("   {}", cells.join(" ")), style))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_begun_second_counts_as_left() {
        assert_eq!(minutes(180_000), "3:00");
        assert_eq!(minutes(59_001), "1:00");
        assert_eq!(minutes(0), "0:00");
    }

    #[test]
    fn large_figures_are_five_rows_of_one_width() {
        let lines = large(754_000, Style::default());
        assert_eq!(lines.len(), 5);
        let widths: Vec<usize> = lines.iter().map(Line::width).collect();
        assert!(
            widths.iter().all(|w| Some(w) == widths.first()),
            "{widths:?}"
        );
    }
}
