//! Styles. Colours are those of the safety signs, and never the only sign.

use ratatui::style::{Color, Modifier, Style};

use crate::procedure::Signal;
use crate::quantity::Verdict;

/// Which colours may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Palette {
    /// The sixteen of every terminal.
    #[default]
    Sixteen,
    /// None: bold, reverse and words only.
    None,
}

/// How small the parts of a drawing may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grain {
    /// Eighths of a cell and dots.
    #[default]
    Fine,
    /// Halves of a cell: a plain console has no others.
    Half,
}

/// Styles by what they mean.
#[derive(Debug, Clone, Copy, Default)]
pub struct Theme {
    /// Which colours may be used.
    pub palette: Palette,
    /// How small the parts of a drawing may be.
    pub grain: Grain,
}

impl Theme {
    const fn coloured(self) -> bool {
        matches!(self.palette, Palette::Sixteen)
    }

    /// The band of a signal word: red danger, orange warning, yellow caution,
    /// blue notice. Sixteen colours have no orange: dark yellow stands for it, and
    /// the word tells.
    ///
    /// # Source
    /// ANSI Z535.4-2007 4.14 (read in public copies).
    pub fn signal(self, signal: Signal) -> Style {
        let bold = Style::new().add_modifier(Modifier::BOLD);
        if !self.coloured() {
            return bold.add_modifier(Modifier::REVERSED);
        }
        match signal {
            Signal::Danger => bold.fg(Color::White).bg(Color::Red),
            Signal::Warning => bold.fg(Color::Black).bg(Color::Yellow),
            Signal::Caution => bold.fg(Color::Black).bg(Color::LightYellow),
            Signal::Notice => bold.fg(Color::White).bg(Color::Blue),
        }
    }

    /// The edge beside what a caution says.
    pub fn signal_edge(self, signal: Signal) -> Style {
        if !self.coloured() {
            return Style::new().add_modifier(Modifier::BOLD);
        }
        match signal {
            Signal::Danger => Style::new().fg(Color::Red),
            Signal::Warning => Style::new().fg(Color::Yellow),
            Signal::Caution => Style::new().fg(Color::LightYellow),
            Signal::Notice => Style::new().fg(Color::Blue),
        }
    }

    /// The header.
    pub fn header(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// A title.
    pub fn title(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// What is less to the point.
    pub fn faint(self) -> Style {
        if self.coloured() {
            Style::new().fg(Color::DarkGray)
        } else {
            Style::new()
        }
    }

    /// A key.
    pub fn key(self) -> Style {
        Style::new().add_modifier(Modifier::BOLD)
    }

    /// What is in focus.
    pub fn focus(self) -> Style {
        Style::new().add_modifier(Modifier::REVERSED)
    }

    /// The line being typed.
    pub fn field(self) -> Style {
        Style::new().add_modifier(Modifier::UNDERLINED)
    }

    /// A verdict; its words are beside it.
    pub fn verdict(self, verdict: Verdict) -> Style {
        let bold = Style::new().add_modifier(Modifier::BOLD);
        if !self.coloured() {
            return bold;
        }
        match verdict {
            Verdict::Within => bold.fg(Color::Green),
            Verdict::Outside => bold.fg(Color::Red),
            Verdict::TooClose => bold.fg(Color::Yellow),
        }
    }

    /// A message: refused, misread, to be known.
    pub fn message(self) -> Style {
        let bold = Style::new().add_modifier(Modifier::BOLD);
        if self.coloured() {
            bold.fg(Color::Magenta)
        } else {
            bold
        }
    }

    /// The stop card.
    pub fn stop(self) -> Style {
        self.signal(Signal::Danger)
    }

    /// PRACTICE.
    pub fn practice(self) -> Style {
        let style = Style::new().add_modifier(Modifier::BOLD | Modifier::REVERSED);
        if self.coloured() {
            style.fg(Color::Cyan)
        } else {
            style
        }
    }
}
