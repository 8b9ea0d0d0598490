//! A picture as a stand-alone SVG: no script, no style sheet, no face from outside.
//!
//! Invariant: every text goes through the escape (P9). Must not know what is shown.

use std::fmt::Write as _;

use super::mark::safe;
use super::picture::{Frame, Line, Picture, Piece, Shape, Text, Tone};

/// The picture as text.
pub fn svg(picture: &Picture) -> String {
    let (w, h) = (picture.width, picture.height);
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    // Writing to a string can't fail.
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" font-family=\"Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif\">"
    );
    let _ = writeln!(out, "<title>{}</title>", safe(&picture.title));
    let _ = writeln!(
        out,
        "<rect x=\"0\" y=\"0\" width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>"
    );
    for piece in &picture.pieces {
        match piece {
            Piece::Frame(frame) => write_frame(&mut out, frame),
            Piece::Text(text) => write_text(&mut out, text),
            Piece::Line(line) => write_line(&mut out, line),
            Piece::Joint(x, y) => {
                let _ = writeln!(
                    out,
                    "<circle cx=\"{x}\" cy=\"{y}\" r=\"3\" fill=\"#333333\"/>"
                );
            }
        }
    }
    out.push_str("</svg>\n");
    out
}

/// Fill, edge and width of the edge.
fn paint(frame: &Frame) -> (&'static str, &'static str, &'static str) {
    if frame.tone == Tone::Faint && frame.shape == Shape::Tag {
        return ("#ffffff", "#aaaaaa", "1");
    }
    let (fill, edge, wide) = match frame.shape {
        Shape::Band => ("#f2f4f5", "#c8cdd1", "1"),
        Shape::Part => ("#dfe6ec", "#9fb0bf", "1"),
        Shape::Step => ("#ffffff", "#333333", "1.2"),
        Shape::Gate => ("#fff4cc", "#1a1a1a", "3"),
        Shape::Movement => ("#ffe9df", "#1a1a1a", "2"),
        Shape::Look => ("#e8f1fb", "#333333", "1.5"),
        Shape::End => ("#ffffff", "#1a1a1a", "1.5"),
        Shape::Folded => ("#fafafa", "#555555", "1.5"),
        Shape::Tag => ("#ffffff", "#555555", "1"),
        Shape::Panel => ("#ffffff", "#333333", "1"),
    };
    let marked = frame.tone == Tone::Strong && frame.shape != Shape::Panel;
    (fill, edge, if marked { "6" } else { wide })
}

fn write_frame(out: &mut String, frame: &Frame) {
    let Frame { x, y, w, h, .. } = *frame;
    let (fill, edge, wide) = paint(frame);
    if let Some(to) = &frame.to {
        let _ = write!(out, "<a href=\"#{}\">", safe(to));
    }
    let id = frame
        .id
        .as_ref()
        .map_or_else(String::new, |id| format!(" id=\"{}\"", safe(id)));
    let look = format!("fill=\"{fill}\" stroke=\"{edge}\" stroke-width=\"{wide}\"");
    let (r, b) = (x + w, y + h);
    let _ = match frame.shape {
        Shape::Gate => write!(
            out,
            "<path{id} d=\"M{} {y}H{}L{r} {}V{}L{} {b}H{}L{x} {}V{}Z\" {look}/>",
            x + 9,
            r - 9,
            y + 9,
            b - 9,
            r - 9,
            x + 9,
            b - 9,
            y + 9
        ),
        Shape::Tag => write!(
            out,
            "<path{id} d=\"M{x} {y}H{}L{r} {}L{} {b}H{x}Z\" {look}/>",
            r - 10,
            y + h / 2,
            r - 10
        ),
        Shape::Movement => write!(
            out,
            "<rect{id} x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" {look}/><rect x=\"{x}\" y=\"{y}\" width=\"7\" height=\"{h}\" fill=\"#1a1a1a\"/>"
        ),
        Shape::End => write!(
            out,
            "<rect{id} x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" rx=\"12\" {look}/><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"9\" fill=\"none\" stroke=\"{edge}\"/>",
            x + 3,
            y + 3,
            w - 6,
            h - 6
        ),
        Shape::Band | Shape::Part | Shape::Step | Shape::Look | Shape::Folded | Shape::Panel => {
            let round = match frame.shape {
                Shape::Look => " rx=\"16\"",
                Shape::Band => " rx=\"6\"",
                Shape::Folded => " stroke-dasharray=\"6 3\"",
                Shape::Part
                | Shape::Step
                | Shape::Gate
                | Shape::Movement
                | Shape::End
                | Shape::Tag
                | Shape::Panel => "",
            };
            write!(
                out,
                "<rect{id} x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{round} {look}/>"
            )
        }
    };
    out.push_str(if frame.to.is_some() { "</a>\n" } else { "\n" });
}

fn write_text(out: &mut String, text: &Text) {
    let weight = if text.bold {
        " font-weight=\"bold\""
    } else {
        ""
    };
    let fill = match text.tone {
        Tone::Strong => "#000000",
        Tone::Plain => "#222222",
        Tone::Faint => "#5c5c5c",
    };
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{weight} fill=\"{fill}\">{}</text>",
        text.x,
        text.y,
        text.size,
        safe(&text.words)
    );
}

fn write_line(out: &mut String, line: &Line) {
    let (colour, wide, dash) = match line.tone {
        Tone::Strong => ("#111111", "2", ""),
        Tone::Plain => ("#444444", "1.3", ""),
        Tone::Faint => ("#a8a8a8", "1", " stroke-dasharray=\"4 3\""),
    };
    let mut points = line.points.iter();
    let mut path = String::new();
    if let Some((x, y)) = points.next() {
        let _ = write!(path, "M{x} {y}");
    }
    for (x, y) in points {
        let _ = write!(path, "L{x} {y}");
    }
    out.push_str("<g>");
    if !line.ways.is_empty() {
        let _ = write!(out, "<title>{}</title>", safe(&line.ways.join("; ")));
    }
    let _ = write!(
        out,
        "<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{wide}\"{dash}/>"
    );
    if line.arrow
        && let [.., before, (x, y)] = line.points.as_slice()
    {
        let (dx, dy) = ((x - before.0).signum(), (y - before.1).signum());
        let (bx, by) = (x - 8 * dx, y - 8 * dy);
        let _ = write!(
            out,
            "<path d=\"M{x} {y}L{} {}L{} {}Z\" fill=\"{colour}\"/>",
            bx - 4 * dy,
            by - 4 * dx,
            bx + 4 * dy,
            by + 4 * dx
        );
    }
    out.push_str("</g>\n");
}
