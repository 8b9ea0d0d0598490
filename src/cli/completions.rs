//! `levelhand completions`: a script for the shell.

use clap::Args;
use clap_complete::Shell;

use crate::io::exit;

/// Prints a completion script for a shell.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  levelhand completions bash > ~/.local/share/bash-completion/completions/levelhand"
)]
pub(crate) struct Completions {
    /// The shell.
    #[arg(value_enum)]
    shell: Shell,
}

/// Prints the script.
pub(crate) fn run(verb: &Completions) -> u8 {
    let mut script = Vec::new();
    clap_complete::generate(verb.shell, &mut super::command(), "levelhand", &mut script);
    super::output::say_raw(&String::from_utf8_lossy(&script));
    exit::OK
}
