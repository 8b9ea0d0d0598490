//! A finished or running job as a page of plain text.

use super::Account;
use super::paper::Paper;
use super::show::seconds;
use super::story::{Against, Document, Line, Story, Value, story};

/// The page of a job.
pub fn page(account: &Account<'_>) -> String {
    let story = story(account);
    let practice = if story.mode == "PRACTICE" {
        "PRACTICE, not a job · "
    } else {
        ""
    };
    let mut paper = Paper::new(&format!("{practice}RECORD · job {}", story.job));
    top(&story, &mut paper);
    owed(&story, &mut paper);
    settings(&story, &mut paper);
    lines("LIMITS OVERRIDDEN", &story.overrides, &mut paper);
    lines("CORRECTIONS", &story.corrections, &mut paper);
    stops(&story, &mut paper);
    verdicts(&story, &mut paper);
    values(&story, &mut paper);
    instruments(&story, &mut paper);
    holds(&story, &mut paper);
    lines("WHAT HAPPENED", &story.chronicle, &mut paper);
    foot(account, &story, &mut paper);
    paper.done()
}

fn top(story: &Story, paper: &mut Paper) {
    paper.line(0, &story.sheet.title);
    for line in &story.identify {
        paper.line(2, line);
    }
    document("Procedure", &story.procedure, paper);
    document("Sheet", &story.sheet, paper);
    document("Instruments", &story.instruments, paper);
    paper.line(0, &format!("Why: {}", story.why));
    if let Some(earlier) = &story.earlier {
        paper.line(0, &format!("Carries on job {earlier}."));
    }
    paper.line(
        0,
        &format!("People: {} (names are not proved)", story.people.join(", ")),
    );
    paper.line(0, &format!("Opened {}.", story.opened));
    match &story.ended {
        Some((how, at)) => paper.line(0, &format!("Ended {at}: {}.", how.replace('_', " "))),
        None => paper.line(
            0,
            &format!(
                "NOT ENDED. It stands in \"{}\".",
                story.stands_in.as_deref().unwrap_or("no step")
            ),
        ),
    }
}

fn document(what: &str, document: &Document, paper: &mut Paper) {
    let revision = document
        .revision
        .map_or_else(String::new, |revision| format!(", revision {revision}"));
    paper.line(
        0,
        &format!("{what}: {} ({}{revision})", document.title, document.id),
    );
    paper.line(2, &format!("SHA-256 {}", document.sha256));
    if let Some(released) = &document.released {
        paper.line(2, &format!("{}.", capital(released)));
    }
}

/// A sentence begins with a large letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn owed(story: &Story, paper: &mut Paper) {
    if story.owed.is_empty() {
        return;
    }
    paper.heading("STILL TO DO");
    for owed in &story.owed {
        let to = owed.to.as_ref().map_or_else(
            || "nobody named yet".to_owned(),
            |to| format!("taken on by {to}"),
        );
        paper.hanging(2, 4, &format!("{} ({to})", owed.what));
        for line in &owed.hand_over {
            paper.line(4, line);
        }
    }
}

fn settings(story: &Story, paper: &mut Paper) {
    if story.settings.is_empty() {
        return;
    }
    paper.heading("AS FOUND AND AS LEFT");
    for change in &story.settings {
        let value = change
            .value
            .as_ref()
            .map_or_else(|| "not read".to_owned(), read_with);
        paper.hanging(
            2,
            4,
            &format!(
                "{}, {}: {}: {value}",
                change.setting, change.when, change.reading
            ),
        );
        for against in &change.against {
            limit(4, against, paper);
        }
    }
}

/// A value, with what, by whom and when.
fn read_with(value: &Value) -> String {
    let with = value
        .instrument
        .as_ref()
        .map_or_else(String::new, |with| format!(", with {with}"));
    let said = format!("{}{with}, {}, {}", value.shown, value.by, value.at);
    let marks = value.marks.iter().copied();
    std::iter::once(said.as_str())
        .chain(marks)
        .collect::<Vec<_>>()
        .join(", ")
}

fn limit(indent: usize, against: &Against, paper: &mut Paper) {
    paper.hanging(
        indent,
        indent + 2,
        &format!(
            "limit: {} ({}): {}",
            against.bound, against.grade, against.sentence
        ),
    );
}

fn lines(heading: &str, lines: &[Line], paper: &mut Paper) {
    if lines.is_empty() {
        return;
    }
    paper.heading(heading);
    for line in lines {
        paper.hanging(
            2,
            8,
            &format!("#{} {} {}: {}", line.entry, line.at, line.by, line.what),
        );
    }
}

fn stops(story: &Story, paper: &mut Paper) {
    if story.stops.is_empty() {
        return;
    }
    paper.heading("STOP WORK");
    for stop in &story.stops {
        paper.hanging(
            2,
            8,
            &format!(
                "#{} {} {} in \"{}\"",
                stop.entry, stop.at, stop.what, stop.step
            ),
        );
    }
}

fn verdicts(story: &Story, paper: &mut Paper) {
    if story.verdicts.is_empty() {
        return;
    }
    paper.heading("LIMITS, AS EACH STEP WAS LEFT");
    for verdict in &story.verdicts {
        let against = &verdict.against;
        paper.hanging(
            2,
            8,
            &format!(
                "#{} \"{}\": {}",
                verdict.entry, verdict.step, against.subject
            ),
        );
        limit(8, against, paper);
        if !against.why.is_empty() {
            paper.hanging(8, 10, &format!("why: {}", against.why));
        }
    }
}

fn values(story: &Story, paper: &mut Paper) {
    if story.values.is_empty() {
        return;
    }
    paper.heading("READINGS AND WORKINGS");
    for value in &story.values {
        paper.hanging(2, 4, &format!("{}: {}", value.title, read_with(value)));
    }
    for point in &story.series {
        let value = &point.value;
        paper.hanging(
            2,
            4,
            &format!(
                "{}, point {}: {}",
                value.title,
                point.number,
                read_with(value)
            ),
        );
    }
}

fn instruments(story: &Story, paper: &mut Paper) {
    if story.used.is_empty() {
        return;
    }
    paper.heading("INSTRUMENTS");
    for used in &story.used {
        let zero = used
            .zero
            .as_ref()
            .map_or_else(String::new, |zero| format!("; showed {zero} at zero"));
        paper.hanging(
            2,
            4,
            &format!("{}: {}, {}{zero}", used.role, used.title, used.metrology),
        );
    }
}

fn holds(story: &Story, paper: &mut Paper) {
    if story.holds.is_empty() {
        return;
    }
    paper.heading("HOLDS");
    for hold in &story.holds {
        paper.hanging(
            2,
            8,
            &format!(
                "#{} {}, \"{}\": {} by {}, {} key events, {} ms apart, {} broken off before, terminal {}",
                hold.entry,
                hold.by,
                hold.step,
                seconds(hold.held_ms),
                hold.tier,
                hold.events,
                hold.median_ms,
                hold.cancels,
                hold.terminal
            ),
        );
    }
}

fn foot(account: &Account<'_>, story: &Story, paper: &mut Paper) {
    paper.heading("RECORD");
    for program in &story.programs {
        paper.line(
            2,
            &format!(
                "Written by levelhand {} from entry {} on.",
                program.version, program.entry
            ),
        );
    }
    if let Some(agreement) = account.agreement {
        if agreement.holds() {
            paper.line(
                2,
                "Decided again by this program, every entry comes out as recorded.",
            );
        }
        for difference in &agreement.differences {
            paper.hanging(2, 4, &format!("DIFFERS: {difference}"));
        }
        if agreement.dirs.len() > 1 {
            let dirs: Vec<String> = agreement
                .dirs
                .iter()
                .map(|(dir, entry)| format!("{dir} from entry {entry}"))
                .collect();
            paper.line(
                2,
                &format!("Written in several places: {}.", dirs.join(", ")),
            );
        }
    }
    paper.line(
        2,
        "Names are not proved. Times are shown and never used to order.",
    );
    paper.line(
        2,
        &format!(
            "{} entries. Seal, to be kept with this page:",
            story.entries
        ),
    );
    paper.line(2, &format!("{}:{}", story.entries, story.head));
}
