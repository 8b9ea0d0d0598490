//! The yardstick: the least program that fills a terminal with text by the same
//! libraries. It draws a frame, waits for a key, draws the next; `q` ends it.

use crossterm::event::{Event, KeyCode, read};
use crossterm::execute;
use crossterm::terminal::{
    EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

fn main() -> std::io::Result<()> {
    enable_raw_mode()?;
    execute!(std::io::stdout(), EnterAlternateScreen)?;
    let mut terminal = Terminal::new(CrosstermBackend::new(std::io::stdout()))?;
    let mut last = '-';
    loop {
        terminal.draw(|frame| {
            let area = frame.area();
            let mut lines: Vec<Line> = (1..area.height)
                .map(|n| Line::from(format!("{n:>3}  {}", "plain words ".repeat(6))))
                .collect();
            lines.push(Line::from(format!("the last key was {last}, waiting")));
            frame.render_widget(Paragraph::new(lines), area);
        })?;
        match read()? {
            Event::Key(key) if key.code == KeyCode::Char('q') => break,
            Event::Key(key) => last = key.code.as_char().unwrap_or('?'),
            _ => {}
        }
    }
    execute!(std::io::stdout(), LeaveAlternateScreen)?;
    disable_raw_mode()
}
