//! The last pages: what is still owed, the settings, the signatures.

use std::fmt::Write as _;

use std::collections::BTreeSet;

use super::super::mark::safe;
use super::{Page, blank};
use crate::procedure::{DutyId, Reading, SettingId, Step, ValueId, When};

impl Page<'_> {
    pub(super) fn close(&mut self) {
        self.raw("<section class=\"close\">");
        self.put("h2", "", "At the end");
        self.owed();
        self.changed();
        self.put("h2", "", "Signatures");
        self.put(
            "p",
            "",
            "Who signs says: done as written here, read with my own eyes.",
        );
        for name in ["Did the work", "Helped", "Looked it over"] {
            self.raw(&format!(
                "<p>{} {} {}</p>",
                blank(name, "line"),
                blank("signed", "line"),
                blank("on", "short")
            ));
        }
        self.raw("</section>");
    }

    /// Every duty with where it arises and where it is paid.
    fn owed(&mut self) {
        let duties = &self.chart.procedure.duties;
        if duties.is_empty() {
            return;
        }
        self.put(
            "p",
            "",
            "What is still to do is done, or handed over by name:",
        );
        self.raw(
            "<table><thead><tr><th>What</th><th>owed from</th><th>done at</th><th>done</th><th>handed over to</th></tr></thead><tbody>",
        );
        for (id, duty) in duties {
            let owed = self.steps(|step| incurs(step, id));
            let paid = self.steps(|step| settles(step, id));
            let mut what = safe(&duty.title);
            for line in &duty.hand_over {
                let _ = write!(
                    what,
                    "<div class=\"how\">If handed over: {}</div>",
                    safe(line)
                );
            }
            self.raw(&format!(
                "<tr><td>{what}</td><td>{owed}</td><td>{paid}</td><td><i class=\"box\"></i></td><td class=\"hand\"></td></tr>"
            ));
        }
        self.raw("</tbody></table>");
    }

    /// The numbers of the steps that do something.
    fn steps(&self, does: impl Fn(&Step) -> bool) -> String {
        let steps = self.chart.procedure.steps.iter().enumerate();
        let numbers = steps
            .filter(|(_, s)| does(s))
            .map(|(n, _)| self.graph.number(n));
        numbers.collect::<Vec<_>>().join(", ")
    }

    /// Every setting, as found and as left.
    fn changed(&mut self) {
        let settings: BTreeSet<SettingId> = self.chart.procedure.settings.keys().cloned().collect();
        if settings.is_empty() {
            return;
        }
        self.put("p", "", "Settings, copied from the steps:");
        self.raw(
            "<table><thead><tr><th>Setting</th><th>reading</th><th>when</th><th>value</th></tr></thead><tbody>",
        );
        for setting in &settings {
            let of = |r: &Reading| r.of.as_ref() == Some(setting);
            let readings = self.chart.procedure.readings.iter();
            let mut rows: Vec<(Option<When>, &ValueId, &Reading)> = readings
                .filter(|(_, r)| of(r))
                .map(|(id, r)| (r.when, id, r))
                .collect();
            rows.sort_by_key(|(when, id, _)| (*when, *id));
            for (when, id, reading) in rows {
                let when = match when {
                    Some(When::AsFound) => "as found",
                    Some(When::AsLeft) => "as left",
                    None => "",
                };
                self.raw(&format!(
                    "<tr><td>{}</td><td>{}</td><td>{when}</td><td>{}{}</td></tr>",
                    safe(&self.chart.setting(setting)),
                    safe(&reading.title),
                    blank("", "short"),
                    safe(&self.chart.symbol(id))
                ));
            }
        }
        self.raw("</tbody></table>");
    }
}

fn incurs(step: &Step, duty: &DutyId) -> bool {
    step.incurs.contains(duty) || step.choices().iter().any(|c| c.incurs.contains(duty))
}

fn settles(step: &Step, duty: &DutyId) -> bool {
    step.settles.contains(duty) || step.choices().iter().any(|c| c.settles.contains(duty))
}
