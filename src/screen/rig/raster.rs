//! A field of small squares, two across and eight down in each cell, each of one
//! matter; and the character that shows a cell best.
//!
//! Hard matter is shown by blocks, whose edges stand to an eighth of a row; soft
//! matter by dots. Where a terminal has neither, by whole and half cells. Each matter
//! has its own filling, so that none is known by its colour alone.
//!
//! Must not know: what is drawn.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier, Style};

use crate::screen::theme::{Grain, Palette, Theme};

/// Squares down a cell.
pub(super) const DOWN: usize = 8;

/// Squares across a cell.
pub(super) const ACROSS: usize = 2;

/// Lower parts of a cell, in eighths.
const LOWER: [&str; 9] = [" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];

/// Quarters of a cell: upper left 1, upper right 2, lower left 4, lower right 8.
const QUARTERS: [&str; 16] = [
    " ", "▘", "▝", "▀", "▖", "▌", "▞", "▛", "▗", "▚", "▐", "▜", "▄", "▙", "▟", "█",
];

/// The same where only halves are to be had.
const HALVES: [&str; 16] = [
    " ", "▀", "▀", "▀", "▄", "▌", "█", "█", "▄", "█", "▐", "█", "▄", "█", "█", "█",
];

/// What a square is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Matter {
    /// Nothing.
    #[default]
    Air,
    /// The frame.
    Frame,
    /// The axle and what is fixed to it.
    Axle,
    /// Tyres.
    Tyre,
    /// Bellows.
    Bellows,
    /// Bump stops.
    Rubber,
    /// Spacer blocks.
    Block,
    /// Stands.
    Stand,
    /// Straps, needles.
    Line,
    /// Rims and marks of dials.
    Rim,
}

impl Matter {
    const fn is_soft(self) -> bool {
        matches!(self, Self::Bellows | Self::Line | Self::Rim)
    }

    /// A cell full of it. Without colours tyres and blocks have a filling of their own.
    const fn full(self, theme: Theme) -> &'static str {
        match (self, theme.palette, theme.grain) {
            (Self::Air, _, _) => " ",
            (Self::Tyre | Self::Rubber, Palette::None, _) => "▓",
            (Self::Block, Palette::None, _) => "▒",
            (Self::Bellows | Self::Line | Self::Rim, _, Grain::Fine) => "⣿",
            (Self::Bellows | Self::Line | Self::Rim, _, Grain::Half) => "░",
            (Self::Frame | Self::Axle | Self::Stand, _, _)
            | (Self::Tyre | Self::Rubber | Self::Block, Palette::Sixteen, _) => "█",
        }
    }

    /// Its colour: what belongs to the truck is blue and grey, what is brought to it
    /// yellow.
    const fn colour(self) -> Option<Color> {
        match self {
            Self::Air | Self::Bellows | Self::Line => None,
            Self::Frame => Some(Color::Blue),
            Self::Axle | Self::Tyre | Self::Rubber | Self::Rim => Some(Color::DarkGray),
            Self::Block | Self::Stand => Some(Color::Yellow),
        }
    }
}

/// How a cell is shown.
struct Shown {
    symbol: &'static str,
    matter: Matter,
    /// Another matter behind the character.
    behind: Option<Matter>,
    /// The character is what is missing.
    turned: bool,
}

impl Shown {
    const fn plain(symbol: &'static str, matter: Matter) -> Self {
        Self {
            symbol,
            matter,
            behind: None,
            turned: false,
        }
    }

    fn style(&self, theme: Theme) -> Style {
        let mut style = Style::new();
        if theme.palette == Palette::Sixteen {
            if let Some(colour) = self.matter.colour() {
                style = style.fg(colour);
            }
            if let Some(colour) = self.behind.and_then(Matter::colour) {
                style = style.bg(colour);
            }
        }
        if self.turned {
            style = style.add_modifier(Modifier::REVERSED);
        }
        style
    }
}

type Column = [Matter; DOWN];

/// The field.
pub(super) struct Raster {
    columns: usize,
    rows: usize,
    squares: Vec<Matter>,
}

impl Raster {
    /// An empty field for so many cells.
    pub(super) fn new(cells_across: u16, cells_down: u16) -> Self {
        let columns = usize::from(cells_across) * ACROSS;
        let rows = usize::from(cells_down) * DOWN;
        Self {
            columns,
            rows,
            squares: vec![Matter::Air; columns * rows],
        }
    }

    /// Fills a column of squares from one row to another, the nearest whole ones.
    pub(super) fn fill(&mut self, column: i32, from: f64, to: f64, matter: Matter) {
        let Ok(column) = usize::try_from(column) else {
            return;
        };
        if column >= self.columns {
            return;
        }
        let most = self.rows as f64;
        let from = from.round().clamp(0.0, most) as usize;
        let to = to.round().clamp(0.0, most) as usize;
        for row in from..to {
            if let Some(square) = self.squares.get_mut(row * self.columns + column) {
                *square = matter;
            }
        }
    }

    /// One dot: a square across and two down.
    pub(super) fn dot(&mut self, column: f64, row: f64, matter: Matter) {
        let top = (row / 2.0).floor() * 2.0;
        self.fill(column.floor() as i32, top, top + 2.0, matter);
    }

    /// A straight line of dots.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), matter: Matter) {
        let (across, down) = (to.0 - from.0, to.1 - from.1);
        let steps = across.abs().max(down.abs() / 2.0).ceil().max(1.0) as u32;
        for step in 0..=steps {
            let part = f64::from(step) / f64::from(steps);
            self.dot(from.0 + across * part, from.1 + down * part, matter);
        }
    }

    /// Squares down.
    #[cfg(test)]
    pub(super) const fn height(&self) -> usize {
        self.rows
    }

    /// What a square is of.
    #[cfg(test)]
    pub(super) fn at(&self, column: usize, row: usize) -> Matter {
        let at = row * self.columns + column;
        self.squares.get(at).copied().unwrap_or_default()
    }

    fn column(&self, column: usize, row: usize) -> Column {
        let mut out = [Matter::Air; DOWN];
        for (n, square) in out.iter_mut().enumerate() {
            let at = (row + n) * self.columns + column;
            *square = self.squares.get(at).copied().unwrap_or_default();
        }
        out
    }

    /// Shows the field; cells of nothing but air are left as they are.
    pub(super) fn paint(&self, buf: &mut Buffer, area: Rect, theme: Theme) {
        for (down, y) in (area.top()..area.bottom()).enumerate() {
            for (across, x) in (area.left()..area.right()).enumerate() {
                let left = self.column(across * ACROSS, down * DOWN);
                let right = self.column(across * ACROSS + 1, down * DOWN);
                let Some(shown) = show(left, right, theme) else {
                    continue;
                };
                if let Some(cell) = buf.cell_mut((x, y)) {
                    cell.set_symbol(shown.symbol).set_style(shown.style(theme));
                }
            }
        }
    }
}

/// The character for a cell; none for air.
fn show(left: Column, right: Column, theme: Theme) -> Option<Shown> {
    let both = || left.into_iter().chain(right);
    if both().all(|m| m == Matter::Air) {
        return None;
    }
    let has_hard = both().any(|m| m != Matter::Air && !m.is_soft());
    if !has_hard {
        return soft(left, right, theme.grain);
    }
    if left == right {
        return Some(stacked(left, theme));
    }
    // What is hard hides what is soft, unless there is next to nothing of it.
    let [one, other] =
        [left, right].map(|column| column.map(|m| if m.is_soft() { Matter::Air } else { m }));
    if one == other {
        return Some(stacked(one, theme));
    }
    if let Some(sloped) = sloped(one, other) {
        return Some(stacked(sloped, theme));
    }
    quarters(one, other, theme).or_else(|| soft(left, right, theme.grain))
}

/// The column halfway between two that have the same edge at different heights.
fn sloped(left: Column, right: Column) -> Option<Column> {
    let ([(a, n), (b, _), _], 2) = runs(left) else {
        return None;
    };
    let ([(c, m), (d, _), _], 2) = runs(right) else {
        return None;
    };
    if (a, b) != (c, d) {
        return None;
    }
    let edge = usize::midpoint(n, m);
    let mut column = [b; DOWN];
    for square in column.iter_mut().take(edge) {
        *square = a;
    }
    Some(column)
}

/// Runs of one matter after another, from the top: the first three and how many there
/// are.
fn runs(column: Column) -> ([(Matter, usize); 3], usize) {
    let mut runs = [(Matter::Air, 0); 3];
    let mut count = 0_usize;
    let mut last = None;
    for matter in column {
        if last != Some(matter) {
            count += 1;
            last = Some(matter);
        }
        if let Some(run) = runs.get_mut(count - 1) {
            *run = (matter, run.1 + 1);
        }
    }
    (runs, count)
}

/// A cell that is the same across.
fn stacked(column: Column, theme: Theme) -> Shown {
    let (runs, count) = runs(column);
    let [(first, n), (second, m), (third, _)] = runs;
    let air = Matter::Air;
    match count {
        1 => Shown::plain(first.full(theme), first),
        2 if first == air => Shown::plain(lower(m, theme.grain), second),
        2 if second == air => Shown {
            turned: true,
            ..Shown::plain(lower(DOWN - n, theme.grain), first)
        },
        2 if theme.palette == Palette::Sixteen => {
            // A bellows' end under the frame is its plate.
            let under = if second.is_soft() {
                Matter::Axle
            } else {
                second
            };
            Shown {
                behind: Some(first),
                ..Shown::plain(lower(m, theme.grain), under)
            }
        }
        3 if second == air && first != air && third != air => Shown {
            turned: true,
            ..Shown::plain("─", first)
        },
        3 if first == air && third == air => {
            let thick = m > 2 && theme.grain == Grain::Fine;
            Shown::plain(if thick { "━" } else { "─" }, second)
        }
        _ => {
            let most = most_of(&column.into_iter());
            Shown::plain(most.full(theme), most)
        }
    }
}

/// The hard matter that a cell has most of, or the soft one if there is none.
fn most_of(squares: &(impl Iterator<Item = Matter> + Clone)) -> Matter {
    let mut best = (Matter::Air, 0);
    for matter in squares.clone().filter(|m| *m != Matter::Air) {
        let share = squares.clone().filter(|m| *m == matter).count();
        let weight = if matter.is_soft() {
            share
        } else {
            share + 2 * DOWN
        };
        if weight > best.1 {
            best = (matter, weight);
        }
    }
    best.0
}

/// The lower so many eighths.
fn lower(eighths: usize, grain: Grain) -> &'static str {
    let eighths = match grain {
        Grain::Fine => eighths,
        Grain::Half => (eighths + 2) / 4 * 4,
    };
    LOWER.get(eighths).copied().unwrap_or("█")
}

/// Hard matter by quarters of the cell.
fn quarters(left: Column, right: Column, theme: Theme) -> Option<Shown> {
    let hard = |m: &&Matter| **m != Matter::Air && !m.is_soft();
    let half = DOWN / 2;
    let filled = |column: Column, skip: usize| {
        let part = column.iter().skip(skip).take(half);
        usize::from(2 * part.filter(hard).count() >= half)
    };
    let mask = filled(left, 0)
        | filled(right, 0) << 1
        | filled(left, half) << 2
        | filled(right, half) << 3;
    let matter = most_of(&left.into_iter().chain(right));
    if mask == 15 {
        return Some(Shown::plain(matter.full(theme), matter));
    }
    let symbols = match theme.grain {
        Grain::Fine => QUARTERS,
        Grain::Half => HALVES,
    };
    let symbol = symbols.get(mask).copied()?;
    (mask != 0).then(|| Shown::plain(symbol, matter))
}

/// Dots where any matter is.
fn soft(left: Column, right: Column, grain: Grain) -> Option<Shown> {
    let matter = most_of(&left.into_iter().chain(right).filter(|m| m.is_soft()));
    let is_there = |column: Column, from: usize| {
        let pair = column.iter().skip(from).take(2);
        pair.filter(|m| **m != Matter::Air).count() > 0
    };
    let mut mask = 0_usize;
    for (dot, from) in [0, 2, 4, 6].into_iter().enumerate() {
        mask |= usize::from(is_there(left, from)) << dot;
        mask |= usize::from(is_there(right, from)) << (dot + 4);
    }
    match grain {
        Grain::Fine => Some(Shown::plain(DOTS.get(mask).copied()?, matter)),
        Grain::Half if matter == Matter::Line => Some(Shown::plain(thin(mask), matter)),
        Grain::Half if mask.count_ones() >= 4 => Some(Shown::plain("░", matter)),
        Grain::Half => None,
    }
}

/// A thin line without dots.
const fn thin(mask: usize) -> &'static str {
    match mask {
        0x0F | 0xF0 | 0xFF => "│",
        0x11 | 0x22 | 0x44 | 0x88 => "─",
        _ => "·",
    }
}

/// All patterns of dots: the left ones from the top are bits 0 to 3, the right ones 4 to 7.
#[rustfmt::skip]
const DOTS: [&str; 256] = [
    " ", "⠁", "⠂", "⠃", "⠄", "⠅", "⠆", "⠇", "⡀", "⡁", "⡂", "⡃", "⡄", "⡅", "⡆", "⡇",
    "⠈", "⠉", "⠊", "⠋", "⠌", "⠍", "⠎", "⠏", "⡈", "⡉", "⡊", "⡋", "⡌", "⡍", "⡎", "⡏",
    "⠐", "⠑", "⠒", "⠓", "⠔", "⠕", "⠖", "⠗", "⡐", "⡑", "⡒", "⡓", "⡔", "⡕", "⡖", "⡗",
    "⠘", "⠙", "⠚", "⠛", "⠜", "⠝", "⠞", "⠟", "⡘", "⡙", "⡚", "⡛", "⡜", "⡝", "⡞", "⡟",
    "⠠", "⠡", "⠢", "⠣", "⠤", "⠥", "⠦", "⠧", "⡠", "⡡", "⡢", "⡣", "⡤", "⡥", "⡦", "⡧",
    "⠨", "⠩", "⠪", "⠫", "⠬", "⠭", "⠮", "⠯", "⡨", "⡩", "⡪", "⡫", "⡬", "⡭", "⡮", "⡯",
    "⠰", "⠱", "⠲", "⠳", "⠴", "⠵", "⠶", "⠷", "⡰", "⡱", "⡲", "⡳", "⡴", "⡵", "⡶", "⡷",
    "⠸", "⠹", "⠺", "⠻", "⠼", "⠽", "⠾", "⠿", "⡸", "⡹", "⡺", "⡻", "⡼", "⡽", "⡾", "⡿",
    "⢀", "⢁", "⢂", "⢃", "⢄", "⢅", "⢆", "⢇", "⣀", "⣁", "⣂", "⣃", "⣄", "⣅", "⣆", "⣇",
    "⢈", "⢉", "⢊", "⢋", "⢌", "⢍", "⢎", "⢏", "⣈", "⣉", "⣊", "⣋", "⣌", "⣍", "⣎", "⣏",
    "⢐", "⢑", "⢒", "⢓", "⢔", "⢕", "⢖", "⢗", "⣐", "⣑", "⣒", "⣓", "⣔", "⣕", "⣖", "⣗",
    "⢘", "⢙", "⢚", "⢛", "⢜", "⢝", "⢞", "⢟", "⣘", "⣙", "⣚", "⣛", "⣜", "⣝", "⣞", "⣟",
    "⢠", "⢡", "⢢", "⢣", "⢤", "⢥", "⢦", "⢧", "⣠", "⣡", "⣢", "⣣", "⣤", "⣥", "⣦", "⣧",
    "⢨", "⢩", "⢪", "⢫", "⢬", "⢭", "⢮", "⢯", "⣨", "⣩", "⣪", "⣫", "⣬", "⣭", "⣮", "⣯",
    "⢰", "⢱", "⢲", "⢳", "⢴", "⢵", "⢶", "⢷", "⣰", "⣱", "⣲", "⣳", "⣴", "⣵", "⣶", "⣷",
    "⢸", "⢹", "⢺", "⢻", "⢼", "⢽", "⢾", "⢿", "⣸", "⣹", "⣺", "⣻", "⣼", "⣽", "⣾", "⣿",
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The only cell of a field whose columns are filled from and to these squares.
    fn cell(left: (f64, f64), right: (f64, f64), matter: Matter, theme: Theme) -> Buffer {
        let area = Rect::new(0, 0, 1, 1);
        let mut raster = Raster::new(1, 1);
        raster.fill(0, left.0, left.1, matter);
        raster.fill(1, right.0, right.1, matter);
        let mut buf = Buffer::empty(area);
        raster.paint(&mut buf, area, theme);
        buf
    }

    #[test]
    fn an_edge_stands_to_an_eighth_of_a_row_from_below_and_from_above() {
        for eighths in 1..8_u8 {
            let edge = f64::from(eighths);
            let low = cell(
                (8.0 - edge, 8.0),
                (8.0 - edge, 8.0),
                Matter::Frame,
                Theme::default(),
            );
            assert_eq!(low[(0, 0)].symbol(), LOWER[usize::from(eighths)]);
            assert!(!low[(0, 0)].modifier.contains(Modifier::REVERSED));
            let high = cell((0.0, edge), (0.0, edge), Matter::Frame, Theme::default());
            assert_eq!(high[(0, 0)].symbol(), LOWER[8 - usize::from(eighths)]);
            assert!(high[(0, 0)].modifier.contains(Modifier::REVERSED));
        }
    }

    #[test]
    fn a_slope_within_a_cell_takes_the_height_between() {
        let buf = cell((6.0, 8.0), (2.0, 8.0), Matter::Axle, Theme::default());
        assert_eq!(buf[(0, 0)].symbol(), LOWER[4]);
    }

    #[test]
    fn a_gap_inside_a_cell_is_seen() {
        let area = Rect::new(0, 0, 1, 1);
        let mut raster = Raster::new(1, 1);
        for column in 0..2 {
            raster.fill(column, 0.0, 3.0, Matter::Frame);
            raster.fill(column, 4.0, 8.0, Matter::Block);
        }
        for palette in [Palette::Sixteen, Palette::None] {
            let mut buf = Buffer::empty(area);
            let theme = Theme {
                palette,
                ..Theme::default()
            };
            raster.paint(&mut buf, area, theme);
            assert_eq!(buf[(0, 0)].symbol(), "─");
            assert!(buf[(0, 0)].modifier.contains(Modifier::REVERSED));
        }
    }

    #[test]
    fn dots_stand_where_they_are_put() {
        let area = Rect::new(0, 0, 1, 1);
        for (column, row, dot) in [(0.0, 0.0, "⠁"), (1.0, 3.0, "⠐"), (0.5, 7.9, "⡀")] {
            let mut raster = Raster::new(1, 1);
            raster.dot(column, row, Matter::Line);
            let mut buf = Buffer::empty(area);
            raster.paint(&mut buf, area, Theme::default());
            assert_eq!(buf[(0, 0)].symbol(), dot);
        }
    }

    #[test]
    fn what_falls_beside_the_field_is_not_drawn() {
        let mut raster = Raster::new(2, 2);
        raster.fill(-1, 0.0, 16.0, Matter::Frame);
        raster.fill(4, 0.0, 16.0, Matter::Frame);
        raster.fill(0, -9.0, -1.0, Matter::Frame);
        raster.fill(0, 16.0, 99.0, Matter::Frame);
        assert!(raster.squares.iter().all(|m| *m == Matter::Air));
    }
}
