//! What a step works out: each working with its uncertainty, the limits put on it,
//! the verdict and how far it is from the limit.
//!
//! Invariant: a verdict that is told here is told nowhere else on the same screen.
//! While a line is typed that would be taken, what would follow from it is shown,
//! and the heading says so.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::item;
use super::step::{limit_words, subject_title};
use super::text::{block, hanging, width};
use super::theme::Theme;
use crate::app::{Work, foreseen};
use crate::job::{Judged, State, given_one, worked};
use crate::procedure::{Limit, Step, Subject, ValueId, WorkInput, Working};
use crate::quantity::{COVERAGE, Measured, Verdict, difference};

/// Cells from which on titles and values stand in columns.
const COLUMNS: usize = 50;

/// Whether the verdict on a limit is told here: it is put on something that the
/// program works out.
pub(super) fn tells(work: &Work, limit: &Limit) -> bool {
    match &limit.subject {
        Subject::Value(id) => work.setup.procedure.workings.contains_key(id),
        Subject::Difference(..) => true,
        Subject::Age(_) => false,
    }
}

/// The section; nothing where the step works nothing out.
pub(super) fn lines(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let Some(step) = work.step().filter(|s| works_out(work, s)) else {
        return Vec::new();
    };
    let typed = foreseen(work);
    let heading = match typed {
        Some(_) => "WORKED OUT, with what is typed",
        None => "WORKED OUT",
    };
    let section = Section {
        work,
        step,
        state: typed.as_ref().unwrap_or(&work.state),
        wide,
        theme,
    };
    let mut lines = block(heading, wide, 1, theme.title());
    let mut told = section.values();
    told.extend(section.differences());
    // What stands in the way is read first.
    told.sort_by_key(|told| told.rank);
    lines.extend(told.into_iter().flat_map(|told| told.lines));
    lines
}

/// What is said of one value; a lower rank is read first.
struct Told {
    rank: u8,
    lines: Vec<Line<'static>>,
}

const LAST: u8 = 2;

const fn rank(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Outside => 0,
        Verdict::TooClose => 1,
        Verdict::Within => LAST,
    }
}

fn works_out(work: &Work, step: &Step) -> bool {
    let inside = work.state.inside() == Some(&step.id);
    inside && (!step.works.is_empty() || step.limits.iter().any(|l| tells(work, l)))
}

struct Section<'w> {
    work: &'w Work,
    step: &'w Step,
    state: &'w State,
    wide: usize,
    theme: Theme,
}

impl Section<'_> {
    fn values(&self) -> Vec<Told> {
        let workings = &self.work.setup.procedure.workings;
        let mut told: Vec<&ValueId> = self.step.works.iter().collect();
        // A limit may be put on what an earlier step worked out.
        for limit in &self.step.limits {
            if let Subject::Value(id) = &limit.subject
                && !told.contains(&id)
            {
                told.push(id);
            }
        }
        let known = told.into_iter();
        known
            .filter_map(|id| workings.get(id).map(|w| (id, w)))
            .map(|(id, working)| self.value(id, working))
            .collect()
    }

    fn value(&self, id: &ValueId, working: &Working) -> Told {
        let about = Subject::Value(id.clone());
        match self.state.value(id) {
            Some(taken) => {
                let said = with_doubt(self.work, id, &taken.measured);
                self.found(&working.title, &said, &about)
            }
            None => self.not_yet(working),
        }
    }

    /// A working without a value: what is missing, or why there is none.
    fn not_yet(&self, working: &Working) -> Told {
        let setup = &self.work.setup;
        let inputs = working.inputs.iter();
        let missing: Vec<String> = inputs
            .filter(|input| given_one(setup, self.state, input).is_none())
            .map(|input| self.title(input))
            .collect();
        if !missing.is_empty() {
            let said = format!("after: {}", missing.join(", "));
            return self.open(&working.title, &said, self.theme.faint());
        }
        let said = match worked(setup, self.state, working) {
            Some(Err(error)) => error.to_string(),
            Some(Ok(_)) | None => "there is no such result with these values".to_owned(),
        };
        self.open(&working.title, &said, self.theme.message())
    }

    fn title(&self, input: &WorkInput) -> String {
        let known = |id: &ValueId| {
            let known = self.work.setup.procedure.value(id);
            known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned())
        };
        match input {
            WorkInput::Value(id) => known(id),
            WorkInput::Series(id) => format!("{}, watched", known(id)),
            WorkInput::Sheet(key) => format!("{key} on the sheet"),
            WorkInput::Literal(_) | WorkInput::Word(_) => String::new(),
        }
    }

    /// One value less another where a limit is put on that.
    fn differences(&self) -> Vec<Told> {
        let mut told: Vec<&Subject> = Vec::new();
        let mut lines = Vec::new();
        for limit in &self.step.limits {
            let Subject::Difference(a, b) = &limit.subject else {
                continue;
            };
            if told.contains(&&limit.subject) {
                continue;
            }
            told.push(&limit.subject);
            let name = |id: &ValueId| self.title(&WorkInput::Value(id.clone()));
            let title = format!("{} less {}", name(a), name(b));
            let (first, second) = (self.state.value(a), self.state.value(b));
            let apart = first.zip(second).and_then(|(x, y)| {
                let same = x.instrument.is_some() && x.instrument == y.instrument;
                difference(&x.measured, &y.measured, same).ok()
            });
            if let Some(apart) = apart {
                let said = with_doubt(self.work, a, &apart);
                lines.push(self.found(&title, &said, &limit.subject));
                continue;
            }
            let open = [(a, first), (b, second)];
            let missing = open.iter().filter(|(_, taken)| taken.is_none());
            let missing: Vec<String> = missing.map(|(id, _)| name(id)).collect();
            let said = format!("after: {}", missing.join(", "));
            lines.push(self.open(&title, &said, self.theme.faint()));
        }
        lines
    }

    /// A value, then the verdicts on it: one line where they fit.
    fn found(&self, title: &str, said: &str, about: &Subject) -> Told {
        let verdicts = self.verdicts(about);
        if self.is_narrow() {
            return self.found_narrow(title, said, verdicts);
        }
        let mut lines = self.line(title, said, self.theme.title());
        let mut least = LAST;
        for (limit, words, verdict) in verdicts {
            let words = words.map_or(limit.clone(), |words| format!("{limit}: {words}"));
            least = least.min(verdict.map_or(LAST, rank));
            let style = verdict.map_or_else(Style::default, |v| self.theme.verdict(v));
            let room = match lines.as_slice() {
                [only] => self.wide.saturating_sub(only.width() + 2),
                _ => 0,
            };
            match lines.last_mut() {
                Some(last) if width(&words) <= room => {
                    last.push_span(Span::raw("  "));
                    last.push_span(Span::styled(words, style));
                }
                _ => lines.extend(hanging("     ", Style::default(), &words, self.wide, style)),
            }
        }
        Told { rank: least, lines }
    }

    const fn is_narrow(&self) -> bool {
        self.wide < COLUMNS
    }

    /// Where only a few lines are seen the verdict comes first, and what no limit
    /// judges comes after all that one does.
    fn found_narrow(
        &self,
        title: &str,
        said: &str,
        verdicts: Vec<(String, Option<String>, Option<Verdict>)>,
    ) -> Told {
        let plain = Style::default();
        let mut lines = hanging("   ", plain, title, self.wide, plain);
        let mut least = LAST + 1;
        for (limit, words, verdict) in verdicts {
            least = least.min(verdict.map_or(LAST, rank));
            let style = verdict.map_or(plain, |v| self.theme.verdict(v));
            let text = words.map_or(limit.clone(), |words| format!("{words}; {limit}"));
            lines.extend(hanging("     ", plain, &text, self.wide, style));
        }
        let style = self.theme.title();
        lines.extend(hanging("     ", plain, said, self.wide, style));
        Told { rank: least, lines }
    }

    /// Something that has no value yet.
    fn open(&self, title: &str, said: &str, style: Style) -> Told {
        Told {
            rank: LAST,
            lines: self.line(title, said, style),
        }
    }

    fn line(&self, title: &str, said: &str, style: Style) -> Vec<Line<'static>> {
        let column = if self.wide < COLUMNS { 0 } else { 33 };
        let head = format!("   {title:<column$}");
        if width(&head) + 2 + width(said) <= self.wide {
            return vec![Line::from(vec![
                Span::raw(format!("{head}  ")),
                Span::styled(said.to_owned(), style),
            ])];
        }
        let mut lines = hanging("   ", Style::default(), title, self.wide, Style::default());
        lines.extend(hanging("     ", style, said, self.wide, style));
        lines
    }

    /// The limits on something, each with its verdict in words once there is one.
    fn verdicts(&self, about: &Subject) -> Vec<(String, Option<String>, Option<Verdict>)> {
        let limits = self.step.limits.iter().enumerate();
        limits
            .filter(|(_, limit)| limit.subject == *about)
            .map(|(at, limit)| {
                let limit = limit_words(self.work, limit);
                let judged = self.state.current().judged.iter().find(|j| j.limit == at);
                match judged {
                    Some(judged) => (
                        limit,
                        Some(self.words(judged)),
                        Some(judged.judgement.verdict),
                    ),
                    None => (limit, None, None),
                }
            })
            .collect()
    }

    /// The verdict with its margin and rule; U stands beside the value.
    fn words(&self, judged: &Judged) -> String {
        let words = item::verdict_words(self.work, judged);
        let overridden = &self.state.current().overrides;
        if overridden.contains_key(&judged.limit) {
            return words;
        }
        let bare = words.split(" (").next().unwrap_or(&words);
        format!("{bare} ({})", judged.judgement.rule.name())
    }
}

/// A value in its shown unit, with U and k where it is not exact.
fn with_doubt(work: &Work, id: &ValueId, measured: &Measured) -> String {
    let unit = item::unit_of(work, id);
    let value = measured.value();
    let expanded = measured.expanded();
    if expanded.si() > 0.0 {
        let places = measured.places(unit);
        let doubt = expanded.show(unit, places);
        let said = item::spoken(value, unit, places);
        return format!("{said} (U {doubt}, k {COVERAGE})");
    }
    item::spoken(value, unit, unit.usual_decimals(value.kind()))
}

/// What a line being typed would bring about for the limits told here, for a screen
/// where the section itself is not in sight.
pub(super) fn foreseen_lines(work: &Work, wide: usize, theme: Theme) -> Vec<Line<'static>> {
    let (Some(step), Some(state)) = (work.step(), foreseen(work)) else {
        return Vec::new();
    };
    let judged = state.current().judged.iter();
    let told = judged.filter_map(|j| {
        let limit = step.limits.get(j.limit).filter(|l| tells(work, l))?;
        let words = item::verdict_words(work, j);
        let bare = words.split(" (").next().unwrap_or(&words);
        let text = format!("{}: {bare}", subject_title(work, limit));
        Some((text, j.judgement.verdict))
    });
    told.flat_map(|(text, verdict)| block(&text, wide, 6, theme.verdict(verdict)))
        .collect()
}
