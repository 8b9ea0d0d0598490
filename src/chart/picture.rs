//! A picture as frames, words and lines with their places, before it is written.
//!
//! Lengths are whole units of a picture, one to a dot of a usual screen; y grows
//! downwards. Must not know what the picture shows.

use super::letter::width;

/// How much something stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// The thing itself.
    Strong,
    /// Beside it.
    Plain,
    /// There for whoever looks for it.
    Faint,
}

/// The outline of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// The ground of a phase.
    Band,
    /// The ground of a used fragment.
    Part,
    /// A plain step.
    Step,
    /// A gate: corners cut off.
    Gate,
    /// A movement: a bar at its left.
    Movement,
    /// A look: round corners.
    Look,
    /// An end: a double line.
    End,
    /// A phase folded to one box: dashed.
    Folded,
    /// A step that stands elsewhere: pointed.
    Tag,
    /// A list beside the picture.
    Panel,
}

/// A frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame {
    /// Its left edge.
    pub x: i32,
    /// Its upper edge.
    pub y: i32,
    /// How wide.
    pub w: i32,
    /// How high.
    pub h: i32,
    /// Its outline.
    pub shape: Shape,
    /// How much it stands out.
    pub tone: Tone,
    /// The name by which it is pointed at.
    pub id: Option<String>,
    /// The name of the frame that it points at.
    pub to: Option<String>,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// Where it begins.
    pub x: i32,
    /// Its base line.
    pub y: i32,
    /// Letter size.
    pub size: i32,
    /// Whether in bold letters.
    pub bold: bool,
    /// How much it stands out.
    pub tone: Tone,
    /// The words.
    pub words: String,
}

impl Text {
    /// Left, upper, right and lower edge of the room that it takes at most.
    pub fn room(&self) -> [i32; 4] {
        let wide = width(&self.words, self.size, self.bold);
        let below = self.size / 4;
        [self.x, self.y - self.size, self.x + wide, self.y + below]
    }
}

/// A line of straight pieces, each level or upright.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Its corners.
    pub points: Vec<(i32, i32)>,
    /// How much it stands out; faint ones are dashed.
    pub tone: Tone,
    /// Whether it ends in an arrow.
    pub arrow: bool,
    /// The ways that it stands for, each as `step way`; shown when pointed at.
    pub ways: Vec<String>,
}

/// One thing in a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// A frame.
    Frame(Frame),
    /// Words.
    Text(Text),
    /// A line.
    Line(Line),
    /// Where two lines become one.
    Joint(i32, i32),
}

/// Everything, in the order in which it is drawn.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Picture {
    /// How wide.
    pub width: i32,
    /// How high.
    pub height: i32,
    /// What it is called.
    pub title: String,
    /// Its pieces.
    pub pieces: Vec<Piece>,
}

impl Picture {
    pub(super) fn frame(&mut self, [x, y, w, h]: [i32; 4], shape: Shape, tone: Tone) {
        self.named([x, y, w, h], shape, tone, (None, None));
    }

    /// A frame with a name, or that points at one.
    pub(super) fn named(
        &mut self,
        [x, y, w, h]: [i32; 4],
        shape: Shape,
        tone: Tone,
        (id, to): (Option<String>, Option<String>),
    ) {
        self.pieces.push(Piece::Frame(Frame {
            x,
            y,
            w,
            h,
            shape,
            tone,
            id,
            to,
        }));
    }

    /// Words with their base line at `y`.
    pub(super) fn words(&mut self, (x, y): (i32, i32), row: &Row) {
        self.pieces.push(Piece::Text(Text {
            x,
            y,
            size: row.size,
            bold: row.bold,
            tone: row.tone,
            words: row.words.clone(),
        }));
    }

    /// Rows under one another from `y` on; gives where they end.
    pub(super) fn rows(&mut self, x: i32, mut y: i32, rows: &[Row]) -> i32 {
        for row in rows {
            self.words((x, y + row.size), row);
            y += row.height();
        }
        y
    }

    pub(super) fn line(
        &mut self,
        points: Vec<(i32, i32)>,
        tone: Tone,
        arrow: bool,
        ways: Vec<String>,
    ) {
        self.pieces.push(Piece::Line(Line {
            points,
            tone,
            arrow,
            ways,
        }));
    }
}

/// A row of words before it has a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) size: i32,
    pub(super) bold: bool,
    pub(super) tone: Tone,
    pub(super) words: String,
}

impl Row {
    pub(super) const fn height(&self) -> i32 {
        self.size + 2 + self.size / 4
    }

    /// A text in rows that fit.
    pub(super) fn wrapped(text: &str, look: (i32, bool, Tone), wide: i32) -> Vec<Self> {
        let (size, bold, tone) = look;
        let lines = super::letter::wrap(text, size, bold, wide).into_iter();
        lines
            .map(|words| Self {
                size,
                bold,
                tone,
                words,
            })
            .collect()
    }
}

/// How high rows are together.
pub(super) fn height(rows: &[Row]) -> i32 {
    rows.iter().map(Row::height).sum()
}
