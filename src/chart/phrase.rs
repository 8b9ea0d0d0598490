//! Limits, confirms, outcomes and values as words, the same in picture and form.
//!
//! Invariant: without a sheet a value of it is called by its name, and with one the
//! name stands beside the value. Must not know of boxes, tags or pages.

use super::Chart;
use super::graph::{By, Way, spaced};
use crate::procedure::{
    BoundSpec, ConditionId, Confirm, DutyId, Grade, Limit, Outcome, SettingId, SheetValue, Side,
    Step, Subject, ValueId, sheet_keys,
};
use crate::quantity::{Quantity, Rule, System, Unit};

impl Chart<'_> {
    /// The units of the sheet; metric without one.
    pub(super) fn system(&self) -> System {
        self.sheet.map_or(System::Metric, |sheet| sheet.system)
    }

    /// A text with the sheet's values in it, or their names.
    pub(super) fn say(&self, text: &str) -> String {
        let filled = self
            .sheet
            .map_or_else(|| text.to_owned(), |sheet| sheet.fill(text, self.system()));
        let mut out = filled.clone();
        for key in sheet_keys(&filled) {
            let called = format!("[sheet: {}]", spaced(key));
            out = out.replace(&format!("{{sheet {key}}}"), &called);
        }
        out
    }

    /// The title of a reading or working.
    pub(super) fn value(&self, id: &ValueId) -> String {
        let known = self.procedure.value(id);
        known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned())
    }

    /// The title of a condition.
    pub(super) fn condition(&self, id: &ConditionId) -> String {
        let known = self.procedure.conditions.get(id);
        known.map_or_else(|| id.to_string(), |c| c.title.clone())
    }

    /// The title of a duty.
    pub(super) fn duty(&self, id: &DutyId) -> String {
        let known = self.procedure.duties.get(id);
        known.map_or_else(|| id.to_string(), |d| d.title.clone())
    }

    /// The title of a setting.
    pub(super) fn setting(&self, id: &SettingId) -> String {
        let known = self.procedure.settings.get(id);
        known.map_or_else(|| id.to_string(), |s| s.title.clone())
    }

    /// The titles of conditions in a row.
    pub(super) fn conditions<'c>(&self, ids: impl IntoIterator<Item = &'c ConditionId>) -> String {
        let titles: Vec<String> = ids.into_iter().map(|c| self.condition(c)).collect();
        titles.join(" · ")
    }

    /// The titles of duties in a row.
    pub(super) fn duties<'d>(&self, ids: impl IntoIterator<Item = &'d DutyId>) -> String {
        let titles: Vec<String> = ids.into_iter().map(|d| self.duty(d)).collect();
        titles.join(" · ")
    }

    /// The unit in which a value is written.
    pub(super) fn unit(&self, id: &ValueId) -> Option<Unit> {
        let (_, kind) = self.procedure.value(id)?;
        let readings = self.procedure.readings.get(id).and_then(|r| r.shown);
        let shown = readings.or_else(|| self.procedure.workings.get(id).and_then(|w| w.shown));
        let chosen = shown.map(|(metric, us)| match self.system() {
            System::Metric => metric,
            System::Us => us,
        });
        let fitting = chosen.filter(|unit| unit.fits(kind));
        Some(fitting.unwrap_or_else(|| kind.shown(self.system())))
    }

    /// The unit as it stands behind a number.
    pub(super) fn symbol(&self, id: &ValueId) -> String {
        let kind = self.procedure.value(id).map(|(_, kind)| kind);
        match (self.unit(id), kind) {
            (Some(unit), Some(kind)) => unit.symbol_for(kind).trim().to_owned(),
            _ => String::new(),
        }
    }

    fn quantity(&self, quantity: Quantity, unit: Option<Unit>) -> String {
        let kind = quantity.kind();
        let unit = unit.filter(|unit| unit.fits(kind));
        quantity.show_plain(unit.unwrap_or_else(|| kind.shown(self.system())))
    }

    /// One side of a limit.
    pub(super) fn side(&self, side: &Side, unit: Option<Unit>) -> String {
        match side {
            Side::Literal(quantity) => self.quantity(*quantity, unit),
            Side::Sheet(key) => {
                let name = spaced(key.as_str());
                match self.sheet.and_then(|sheet| sheet.quantity(key)) {
                    Some(quantity) => {
                        format!("{} (sheet: {name})", self.quantity(quantity, unit))
                    }
                    None => format!("[sheet: {name}]"),
                }
            }
        }
    }

    /// What a sheet says for a key, or that it is to be looked up.
    pub(super) fn sheet_value(&self, key: &crate::procedure::SheetKey) -> Option<String> {
        let entry = self.sheet?.values.get(key)?;
        Some(match &entry.value {
            SheetValue::Quantity(quantity) => self.quantity(*quantity, None),
            SheetValue::Word(word) => spaced(word),
            SheetValue::Text(lines) => lines.join(" "),
        })
    }

    /// What a limit is put on.
    pub(super) fn limited(&self, subject: &Subject) -> String {
        match subject {
            Subject::Value(id) => self.value(id),
            Subject::Difference(a, b) => format!("{} and {}", self.value(a), self.value(b)),
            Subject::Age(condition) => format!("since “{}”", self.condition(condition)),
        }
    }

    /// What a limit asks.
    pub(super) fn bound(&self, limit: &Limit) -> String {
        let unit = match &limit.subject {
            Subject::Value(id) | Subject::Difference(id, _) => self.unit(id),
            Subject::Age(_) => None,
        };
        let side = |side| self.side(side, unit);
        match &limit.bound {
            BoundSpec::AtMost(a) => format!("at most {}", side(a)),
            BoundSpec::AtLeast(a) | BoundSpec::AgeAtLeast(a) => format!("at least {}", side(a)),
            BoundSpec::Between(a, b) => format!("from {} to {}", side(a), side(b)),
            BoundSpec::Near { target, within } => {
                format!("{} give or take {}", side(target), side(within))
            }
            BoundSpec::DifferByAtMost(a) => format!("apart by at most {}", side(a)),
        }
    }

    /// The words at a way in the picture.
    pub(super) fn way(&self, way: &Way<'_>, step: &Step) -> String {
        match way.by {
            By::Outcome(Outcome::Pass) => "pass".to_owned(),
            By::Outcome(Outcome::Fail) => "fail".to_owned(),
            By::Outcome(Outcome::TooClose) => "too close".to_owned(),
            By::Outcome(Outcome::Lapsed) => "lapsed".to_owned(),
            By::Outcome(Outcome::Spent) => {
                tries(step).map_or_else(|| "spent".to_owned(), |n| format!("spent after {n}"))
            }
            By::Choice(choice) => {
                let text = self.say(&choice.text);
                match choice.tries {
                    Some(1) => format!("{text} (once)"),
                    Some(n) => format!("{text} ({n} times)"),
                    None => text,
                }
            }
            By::Stop => "stop work".to_owned(),
            By::Repeat => "a step is still to be repeated".to_owned(),
        }
    }
}

/// How many tries an ordinary step has.
pub(super) fn tries(step: &Step) -> Option<u32> {
    match &step.body {
        crate::procedure::Body::Ordinary { tries, .. } => *tries,
        crate::procedure::Body::Look { .. } | crate::procedure::Body::End(_) => None,
    }
}

/// Whether a limit can be passed at all where it is not met.
pub(super) const fn grade(grade: Grade) -> &'static str {
    match grade {
        Grade::Interlock => "interlock: no way past it",
        Grade::Advice => "advice: past it only with a written reason",
    }
}

/// How the decision is made.
pub(super) const fn rule(rule: Rule) -> &'static str {
    match rule {
        Rule::Simple => "simple: the value itself is compared",
        Rule::Guarded => "guarded: the value with all its uncertainty must be inside",
    }
}

/// A length of hold in words.
pub(super) fn held(confirm: &Confirm) -> Option<String> {
    let Confirm::Hold { signal, for_ms } = confirm else {
        return None;
    };
    let tenths = for_ms / 100;
    Some(format!(
        "hold ({}), {}.{} s",
        signal.word().to_lowercase(),
        tenths / 10,
        tenths % 10
    ))
}
