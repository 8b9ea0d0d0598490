//! Words to standard output and standard error.

use std::io::Write;
use std::process::ExitCode;

use crate::finding::escape;
use crate::io::exit;

/// Text for a terminal: line breaks stay, everything else that steers one is
/// written out. File names and records may hold anything.
fn plain(text: &str) -> String {
    let lines: Vec<_> = text.split('\n').map(escape).collect();
    lines.join("\n")
}

/// A writer through which nothing that steers a terminal comes.
pub(crate) struct Plain<W>(pub(crate) W);

impl<W: Write> Write for Plain<W> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        let text = String::from_utf8_lossy(bytes);
        self.0.write_all(plain(&text).as_bytes())?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.0.flush()
    }
}

/// Says a line on standard output. A reader that went away is not an error.
pub(crate) fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _gone = writeln!(out, "{}", plain(text));
}

/// Says a text that ends its own lines.
pub(crate) fn say_raw(text: &str) {
    let mut out = std::io::stdout().lock();
    let _gone = out.write_all(text.as_bytes());
}

/// Says a text that ends its own lines and must arrive whole, as a page does. A reader
/// that went away is not an error.
pub(crate) fn say_whole(text: &str) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    let said = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    said.or_else(|error| {
        if error.kind() == std::io::ErrorKind::BrokenPipe {
            return Ok(());
        }
        Err(error)
    })
}

/// Says a line on standard error.
pub(crate) fn complain(text: &str) {
    let mut err = std::io::stderr().lock();
    let _gone = writeln!(err, "{}", plain(text));
}

/// Says findings as they were drawn on standard error: what documents brought was
/// escaped in drawing, and the colours are the drawing's own.
pub(crate) fn complain_drawn(text: &str) {
    let mut err = std::io::stderr().lock();
    let _gone = writeln!(err, "{text}");
}

/// Says a line on standard output; tells whether someone still reads there.
pub(crate) fn is_heard(text: &str) -> bool {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", plain(text))
        .and_then(|()| out.flush())
        .is_ok()
}

/// What clap has to say: help and version are good, the rest is wrong use.
pub(crate) fn usage(error: &clap::Error) -> ExitCode {
    let _gone = error.print();
    if error.use_stderr() {
        ExitCode::from(exit::USAGE)
    } else {
        ExitCode::from(exit::OK)
    }
}
