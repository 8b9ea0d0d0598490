//! One line being typed.

use tui_input::{Input, InputRequest};

use super::action::Edit;

/// Longest line that can be typed, in characters.
const LONGEST: usize = 200;

/// One line being typed.
#[derive(Debug, Clone)]
pub struct Field {
    input: Input,
    longest: usize,
}

impl Default for Field {
    fn default() -> Self {
        Self::roomy(LONGEST)
    }
}

impl Field {
    /// A line that holds `text`, the cursor at its end.
    pub fn with(text: &str) -> Self {
        Self {
            input: Input::new(text.to_owned()),
            longest: LONGEST,
        }
    }

    /// An empty line that takes so many characters.
    pub(super) fn roomy(longest: usize) -> Self {
        Self {
            input: Input::default(),
            longest,
        }
    }

    /// What is typed.
    pub fn text(&self) -> &str {
        self.input.value()
    }

    /// The cursor, in characters from the start.
    pub fn cursor(&self) -> usize {
        self.input.cursor()
    }

    /// Whether nothing is typed.
    pub fn is_empty(&self) -> bool {
        self.input.value().is_empty()
    }

    /// Empties the line.
    pub fn clear(&mut self) {
        self.input.reset();
    }

    /// Changes the line. Control characters and what is over the longest line are
    /// left out.
    pub fn edit(&mut self, edit: &Edit) {
        match edit {
            Edit::Put(c) => self.put(*c),
            Edit::PutText(text) => text.chars().for_each(|c| self.put(c)),
            Edit::Back => self.request(InputRequest::DeletePrevChar),
            Edit::Delete => self.request(InputRequest::DeleteNextChar),
            Edit::Left => self.request(InputRequest::GoToPrevChar),
            Edit::Right => self.request(InputRequest::GoToNextChar),
            Edit::Home => self.request(InputRequest::GoToStart),
            Edit::End => self.request(InputRequest::GoToEnd),
        }
    }

    fn put(&mut self, c: char) {
        if !c.is_control() && self.input.value().chars().count() < self.longest {
            self.request(InputRequest::InsertChar(c));
        }
    }

    fn request(&mut self, request: InputRequest) {
        self.input.handle(request);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leaves_control_characters_and_overlong_text_out() {
        let mut field = Field::default();
        field.edit(&Edit::PutText("a\u{1b}[31m\nb".to_owned()));
        assert_eq!(field.text(), "a[31mb");
        field.edit(&Edit::PutText("x".repeat(500)));
        assert_eq!(field.text().chars().count(), LONGEST);
    }
}
