//! The page of calculators: every sum of the registry under its subject, narrowed
//! down by words, and the one that is open.
//!
//! Invariant: a sum that was opened keeps what was typed into it until the page is
//! left. Nothing is stored, and no job knows of it.

use std::collections::BTreeMap;

use super::action::Edit;
use super::calculation::Calculation;
use super::field::Field;
use crate::calc::{REGISTRY, Sum};
use crate::quantity::System;

/// The page of calculators.
#[derive(Debug, Clone)]
pub struct Reckon {
    /// Words that narrow the list down.
    pub filter: Field,
    /// The row in focus.
    pub focus: usize,
    /// Help is open, from this line on.
    pub help: Option<usize>,
    /// The sum that is open, by its place in the registry.
    open: Option<usize>,
    opened: BTreeMap<usize, Calculation>,
    system: System,
}

impl Reckon {
    /// The whole list, with the units that are shown.
    pub fn new(system: System) -> Self {
        Self {
            filter: Field::default(),
            focus: 0,
            help: None,
            open: None,
            opened: BTreeMap::new(),
            system,
        }
    }

    /// The sums that have all words of the filter in title, subject or name, those
    /// of one subject together; by their places in the registry.
    pub fn rows(&self) -> Vec<usize> {
        let wanted = self.filter.text().to_lowercase();
        let fits = |sum: &Sum| {
            let spaced = sum.name.replace('_', " ");
            let about = format!("{} {} {} {spaced}", sum.title, sum.subject, sum.name);
            let about = about.to_lowercase();
            wanted.split_whitespace().all(|word| about.contains(word))
        };
        let mut subjects: Vec<&str> = Vec::new();
        for sum in REGISTRY {
            if !subjects.contains(&sum.subject) {
                subjects.push(sum.subject);
            }
        }
        let within = |subject: &str| {
            let all = REGISTRY.iter().enumerate();
            let here = all.filter(|(_, sum)| sum.subject == subject && fits(sum));
            here.map(|(at, _)| at).collect::<Vec<_>>()
        };
        subjects.into_iter().flat_map(within).collect()
    }

    /// The sum in focus.
    pub fn focused(&self) -> Option<&'static Sum> {
        let at = self.rows().get(self.focus).copied()?;
        REGISTRY.get(at).copied()
    }

    /// The sum that is open.
    pub fn calculation(&self) -> Option<&Calculation> {
        self.opened.get(&self.open?)
    }

    pub(super) fn calculation_mut(&mut self) -> Option<&mut Calculation> {
        self.opened.get_mut(&self.open?)
    }

    /// Whether a line is being typed.
    pub fn types(&self) -> bool {
        self.help.is_none() && self.calculation().is_none_or(|c| !c.on_results())
    }

    /// Whether the arrows to the sides pick a word.
    pub fn picks(&self) -> bool {
        self.help.is_none() && self.calculation().is_some_and(Calculation::picks)
    }

    /// Moves the focus in the list; it stays on it.
    pub(super) fn step(&mut self, by: isize) {
        let last = self.rows().len().saturating_sub(1);
        self.focus = self.focus.saturating_add_signed(by).min(last);
    }

    /// Changes the filter; the focus stays on its sum while that is shown.
    pub(super) fn narrow(&mut self, edit: &Edit) {
        let on = self.rows().get(self.focus).copied();
        self.filter.edit(edit);
        self.keep(on);
    }

    /// Takes the filter away; the focus stays on its sum.
    pub(super) fn widen(&mut self) {
        let on = self.rows().get(self.focus).copied();
        self.filter.clear();
        self.keep(on);
    }

    fn keep(&mut self, on: Option<usize>) {
        let found = self.rows().iter().position(|row| Some(*row) == on);
        self.focus = found.unwrap_or(0);
    }

    /// Opens the sum in focus, as it was left if it was open before.
    pub(super) fn open(&mut self) {
        let system = self.system;
        let at = self.rows().get(self.focus).copied();
        let Some((at, sum)) = at.and_then(|at| Some((at, *REGISTRY.get(at)?))) else {
            return;
        };
        self.open = Some(at);
        let open = self
            .opened
            .entry(at)
            .or_insert_with(|| Calculation::new(sum, system));
        if open.system() != system {
            open.switch();
        }
    }

    /// Takes the units of the open sum for the others.
    pub(super) fn follow(&mut self) {
        self.system = self.calculation().map_or(self.system, Calculation::system);
    }

    /// Back to the list.
    pub(super) fn close(&mut self) {
        self.open = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn narrowed(words: &str) -> Vec<&'static str> {
        let mut reckon = Reckon::new(System::Metric);
        reckon.narrow(&Edit::PutText(words.to_owned()));
        let rows = reckon.rows();
        rows.iter().map(|at| REGISTRY[*at].name).collect()
    }

    #[test]
    fn lists_every_sum_once_those_of_a_subject_together() {
        let rows = Reckon::new(System::Metric).rows();
        let mut sorted = rows.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (0..REGISTRY.len()).collect::<Vec<_>>());
        let mut subjects: Vec<&str> = rows.iter().map(|at| REGISTRY[*at].subject).collect();
        subjects.dedup();
        let mut once = subjects.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(once.len(), subjects.len(), "a subject stands twice");
    }

    #[test]
    fn words_of_title_subject_or_name_narrow_the_list_in_any_order_and_case() {
        assert!(narrowed("swap").contains(&"swapped_difference"));
        assert!(narrowed("GAUGES left swapped").contains(&"swapped_difference"));
        assert!(narrowed("swapped_diff").contains(&"swapped_difference"));
        assert!(narrowed("against each other").contains(&"series_drop"));
        assert!(narrowed("no such words").is_empty());
    }

    #[test]
    fn the_focus_stays_on_its_sum_while_that_is_shown() {
        let mut reckon = Reckon::new(System::Metric);
        let at = reckon
            .rows()
            .iter()
            .position(|at| REGISTRY[*at].name == "series_drop");
        reckon.focus = at.unwrap();
        reckon.narrow(&Edit::PutText("watch".to_owned()));
        assert_eq!(reckon.focused().map(|s| s.name), Some("series_drop"));
        reckon.widen();
        assert_eq!(reckon.focused().map(|s| s.name), Some("series_drop"));
        reckon.narrow(&Edit::PutText("zzz".to_owned()));
        assert!(reckon.focused().is_none());
        reckon.open();
        assert!(reckon.calculation().is_none(), "nothing is there to open");
    }
}
