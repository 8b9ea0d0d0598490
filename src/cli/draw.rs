//! `levelhand draw`: a procedure as a picture, a graph, a paper form, or what is
//! known at one step.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::library::check_procedure;
use super::output::{complain, say, say_whole};
use crate::chart::{self, Chart};
use crate::document;
use crate::finding::{draw_all, escape, near_help};
use crate::io::{exit, shop};
use crate::journal::Digest;
use crate::procedure::{Procedure, Sheet, StepId};
use crate::record::GENERAL_STOP;

/// Draws a procedure: as a picture, as a graph for other programs, as a paper form to
/// be signed, or what is known at one of its steps.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  levelhand draw procedures/height_check.json --out check.svg\n  levelhand draw procedures/ride_height.json --as paper --sheet procedures/sheets/bw_07.json --out form.html\n  levelhand draw procedures/ride_height.json --as text --at up__move\n\nAn SVG and a paper form open in any browser, and print from there. A step that comes out\nof a fragment is named by its place and its id, as up__move.\n\nExit codes: 0 drawn, 1 drawn but errors were found (the page says so) or the document\ncan't be drawn at all, 2 a file can't be used, or FILE is there\nalready, 3 the disk refused."
)]
pub(crate) struct Draw {
    /// The procedure.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// What is drawn.
    #[arg(long = "as", value_enum, default_value_t = Form::Svg, value_name = "FORM")]
    form: Form,
    /// Show what is known at this step: what holds, what is owed, what protects an act.
    #[arg(long, value_name = "STEP")]
    at: Option<String>,
    /// In the picture, draw wrong turns and stop work step by step, too.
    #[arg(long)]
    unfold: bool,
    /// The vehicle's sheet: limits show its values beside their names.
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Write to this file instead of standard output.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Write the file even if there is one of that name.
    #[arg(long, requires = "out")]
    again: bool,
}

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// A picture that stands alone, for a browser or a wall.
    Svg,
    /// The graph in the DOT language.
    Dot,
    /// A form to be worked through with a pen, as an HTML page that prints.
    Paper,
    /// What is known at the step of --at, as plain text.
    Text,
}

/// Draws, or says why not.
pub(crate) fn run(verb: &Draw) -> u8 {
    match drawn(verb) {
        Ok((text, errors)) => match hand_over(verb, &text) {
            Ok(()) if errors > 0 => exit::FINDINGS,
            Ok(()) => exit::OK,
            Err((why, code)) => {
                complain(&why);
                code
            }
        },
        Err((why, code)) => {
            complain(&why);
            code
        }
    }
}

/// The text, and how many errors the document has.
fn drawn(verb: &Draw) -> Result<(String, usize), (String, u8)> {
    let used = |why: String| (why, exit::USAGE);
    let name = verb.file.display().to_string();
    let bytes = bytes(&verb.file).map_err(used)?;
    let checked = check_procedure(&name, &bytes);
    let mut wrong = checked.placed;
    wrong.retain(|placed| placed.finding.is_error());
    let (Some(procedure), Some(proof)) = (checked.loaded.value, checked.proof) else {
        let told = format!(
            "{name} can't be drawn: it can't be read as a procedure.\n{}",
            draw_all(&wrong, false)
        );
        return Err((told, exit::FINDINGS));
    };
    if !wrong.is_empty() {
        complain(&draw_all(&wrong, false));
        complain("Drawn all the same; the page says NOT FOR WORK.");
    }
    let at = verb.at.as_ref().map(|at| step(&procedure, at)).transpose();
    let at = at.map_err(used)?;
    let sheet = verb.sheet.as_ref().map(|path| sheet(path)).transpose();
    let sheet = sheet.map_err(used)?;
    let chart = Chart {
        procedure: &procedure,
        facts: &proof.facts,
        errors: wrong.len(),
        sheet: sheet.as_ref(),
        sha256: &Digest::of(&bytes).to_string(),
        stop: &GENERAL_STOP,
        unfold: verb.unfold,
        at: at.as_ref(),
    };
    let text = written(verb.form, &chart).map_err(used)?;
    Ok((text, wrong.len()))
}

fn written(form: Form, chart: &Chart<'_>) -> Result<String, String> {
    match (form, chart.at) {
        (Form::Svg, _) => Ok(chart::svg(&chart::picture(chart))),
        (Form::Dot, _) => Ok(chart::dot(chart)),
        (Form::Paper, None) => Ok(chart::form(chart)),
        (Form::Paper, Some(_)) => Err(
            "A paper form is of the whole procedure. Leave --at out, or take --as svg, dot or text."
                .to_owned(),
        ),
        (Form::Text, at) => at
            .and_then(|at| chart::known(chart, at))
            .map(|known| known.text())
            .ok_or_else(|| {
                "--as text tells what is known at one step. Name it with --at STEP.".to_owned()
            }),
    }
}

fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    shop::read(path).map_err(|error| {
        format!(
            "{} can't be read: {error}. Give the path of a document.",
            path.display()
        )
    })
}

/// The step of that name, or which was meant.
fn step(procedure: &Procedure, name: &str) -> Result<StepId, String> {
    let names = || procedure.steps.iter().map(|step| step.id.as_str());
    let found = procedure.steps.iter().find(|step| step.id.as_str() == name);
    found.map(|step| step.id.clone()).ok_or_else(|| {
        format!(
            "There is no step named {:?} in this procedure: {}",
            escape(name),
            near_help(name, names()).join("; ")
        )
    })
}

fn sheet(path: &Path) -> Result<Sheet, String> {
    let name = path.display().to_string();
    let loaded = document::sheet(&name, &bytes(path)?);
    let placed = loaded.placed();
    loaded.value.ok_or_else(|| {
        format!(
            "{name} can't be used as a sheet.\n{}",
            draw_all(&placed, false)
        )
    })
}

/// Writes the page; or else why not, and the exit code.
fn hand_over(verb: &Draw, text: &str) -> Result<(), (String, u8)> {
    let Some(path) = &verb.out else {
        return say_whole(text).map_err(|error| {
            let why = format!(
                "The page can't be written: {error}. Write to a disk that has room, or give --out FILE."
            );
            (why, exit::STORAGE)
        });
    };
    let name = path.display();
    shop::put(path, text.as_bytes(), verb.again).map_err(|error| {
        if error.kind() == std::io::ErrorKind::AlreadyExists {
            let why =
                format!("{name} is there already. Give another name, or --again to write over it.");
            return (why, exit::USAGE);
        }
        let why = format!("{name} can't be written: {error}. Give a path that can be written to.");
        (why, exit::STORAGE)
    })?;
    say(&format!("written  {name}"));
    Ok(())
}
