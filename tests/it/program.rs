//! The program run as a command, and what it said.

use std::path::Path;
use std::process::{Command, Output};

/// The program, in the directory of the package.
pub(crate) fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_levelhand"));
    command.current_dir(env!("CARGO_MANIFEST_DIR")).args(args);
    command
}

/// Runs the program in the directory of the package.
pub(crate) fn run(args: &[&str]) -> Output {
    command(args).output().unwrap()
}

/// Runs the program in a directory, with the data in another below it.
pub(crate) fn run_in(dir: &Path, data: &str, args: &[&str]) -> Output {
    let mut command = command(&["--data", data]);
    command.current_dir(dir).args(args).output().unwrap()
}

/// Bytes that were said, as text.
pub(crate) fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// All that was said.
pub(crate) fn told(out: &Output) -> String {
    text(&[out.stdout.as_slice(), out.stderr.as_slice()].concat())
}
