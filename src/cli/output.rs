//! Words to standard output and standard error.

use std::io::Write;
use std::process::ExitCode;

use crate::io::exit;

/// Says a line on standard output. A reader that went away is not an error.
pub(crate) fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _gone = writeln!(out, "{text}");
}

/// Says a text that ends its own lines.
pub(crate) fn say_raw(text: &str) {
    let mut out = std::io::stdout().lock();
    let _gone = out.write_all(text.as_bytes());
}

/// Says a line on standard error.
pub(crate) fn complain(text: &str) {
    let mut err = std::io::stderr().lock();
    let _gone = writeln!(err, "{text}");
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
