//! A field of cells to draw on; what falls beside it is not drawn.

use super::WIDTH;

/// Cells in rows.
pub(super) struct Canvas {
    rows: Vec<[char; WIDTH]>,
}

impl Canvas {
    /// So many empty rows.
    pub(super) fn new(rows: usize) -> Self {
        Self {
            rows: vec![[' '; WIDTH]; rows],
        }
    }

    /// What stands in a cell.
    pub(super) fn get(&self, column: usize, row: usize) -> Option<char> {
        self.rows.get(row)?.get(column).copied()
    }

    /// Puts a character.
    pub(super) fn set(&mut self, column: usize, row: usize, mark: char) {
        let cell = self.rows.get_mut(row).and_then(|r| r.get_mut(column));
        if let Some(cell) = cell {
            *cell = mark;
        }
    }

    /// Puts a text, moved left as far as it takes to be whole.
    pub(super) fn text(&mut self, column: usize, row: usize, text: &str) {
        let from = Self::fitting(column, text);
        for (n, mark) in text.chars().enumerate() {
            self.set(from + n, row, mark);
        }
    }

    /// Whether the cells that a text would take, and one on either side, are empty.
    pub(super) fn is_free(&self, column: usize, row: usize, text: &str) -> bool {
        let from = Self::fitting(column, text);
        let cells = from.saturating_sub(1)..(from + text.chars().count() + 1).min(WIDTH);
        row < self.rows.len() && cells.into_iter().all(|c| self.get(c, row) == Some(' '))
    }

    fn fitting(column: usize, text: &str) -> usize {
        column.min(WIDTH.saturating_sub(text.chars().count()))
    }

    /// The rows as text.
    pub(super) fn rows(&self) -> Vec<String> {
        let text = |row: &[char; WIDTH]| row.iter().collect::<String>();
        self.rows
            .iter()
            .map(|row| text(row).trim_end().to_owned())
            .collect()
    }
}
