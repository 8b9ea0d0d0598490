//! The course: drills by number, what each teaches, and which this person has passed.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::text::{bar, clip, hanging, put, width};
use super::theme::Theme;
use crate::app::Course;

/// Paints the course; gives where the cursor stands while the name is typed.
pub(super) fn paint(
    buf: &mut Buffer,
    area: Rect,
    course: &Course,
    theme: Theme,
) -> Option<(u16, u16)> {
    let wide = usize::from(area.width);
    bar(
        buf,
        area,
        area.top(),
        "PRACTISE",
        "PRACTICE: nothing here is a job",
        theme.practice(),
    );
    let mark = if course.types() { " > " } else { "   " };
    let label = "your name  ";
    let name = Line::from(vec![
        Span::styled(format!("{mark}{label}"), theme.title()),
        Span::raw(course.by.text().to_owned()),
    ]);
    buf.set_line(area.left(), area.top() + 2, &name, area.width);
    let foot = foot(course, wide, theme);
    let foot_rows = (foot.len() as u16).min(area.height / 2);
    let list = Rect {
        y: area.y + 4,
        height: area.height.saturating_sub(4 + foot_rows),
        ..area
    };
    put(
        buf,
        list,
        &rows(course, wide, usize::from(list.height), theme),
    );
    let under = Rect {
        y: area.bottom().saturating_sub(foot_rows),
        height: foot_rows,
        ..area
    };
    put(buf, under, &foot);
    course.types().then(|| {
        let before: String = course.by.text().chars().take(course.by.cursor()).collect();
        let x = 3 + width(label) + width(&before);
        (
            area.x + (x as u16).min(area.width.saturating_sub(1)),
            area.y + 2,
        )
    })
}

fn rows(course: &Course, wide: usize, room: usize, theme: Theme) -> Vec<Line<'static>> {
    let Some(drills) = &course.drills else {
        return vec![Line::from(Span::styled(
            "   reading the drills",
            theme.faint(),
        ))];
    };
    let lines = drills.iter().enumerate().map(|(n, drill)| {
        let focused = course.focus == n + 1;
        let mark = if focused { " > " } else { "   " };
        let passed = if course.passed(&drill.id) {
            "passed"
        } else {
            ""
        };
        // The word is never cut off.
        let room = 46.min(wide.saturating_sub(9 + passed.len()));
        let title = clip(&drill.title, room);
        let text = format!("{:>2}  {title:<room$} {passed}", drill.number);
        let style = if focused {
            theme.focus()
        } else {
            Style::default()
        };
        Line::from(Span::styled(
            format!("{mark}{} ", clip(&text, wide.saturating_sub(4))),
            style,
        ))
    });
    let top = course.focus.saturating_sub(room.max(1));
    lines.skip(top).take(room).collect()
}

fn foot(course: &Course, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let mut foot = Vec::new();
    if let Some(message) = &course.message {
        foot.extend(hanging(
            " ! ",
            theme.message(),
            message,
            wide,
            theme.message(),
        ));
        return foot;
    }
    let Some(drill) = course.drill() else {
        let say = "A simulated truck, the same procedures as real jobs. Type your name, then choose a drill.";
        return hanging(" ", Style::default(), say, wide, Style::default());
    };
    for line in &drill.aim {
        foot.extend(hanging(" ", Style::default(), line, wide, Style::default()));
    }
    foot.extend(hanging(
        " ",
        Style::default(),
        &drill.coaching,
        wide,
        theme.faint(),
    ));
    if let Some(after) = course.better_after(drill) {
        let say = format!("Better after: {after}. You may begin it all the same.");
        foot.extend(hanging(" ", Style::default(), &say, wide, theme.faint()));
    }
    foot
}
