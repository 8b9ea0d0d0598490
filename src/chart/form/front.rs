//! The first pages: what the form is, what it is for, what is needed.

use super::super::graph::spaced;
use super::super::mark::safe;
use super::Page;
use crate::procedure::SheetNeed;

impl Page<'_> {
    pub(super) fn front(&mut self) {
        let chart = self.chart;
        let procedure = chart.procedure;
        self.raw("<section class=\"front\">");
        self.put("h1", "", &chart.heading());
        let about = format!("Procedure {}", procedure.id);
        self.put("p", "", &about);
        self.raw(&format!(
            "<p>SHA-256 of the document: <code>{}</code></p>",
            safe(chart.sha256)
        ));
        self.put("p", "note", &chart.standing());
        self.sheet_line();
        let fields = [
            "Vehicle",
            "Job",
            "Date",
            "Place",
            "Who does it",
            "Who helps",
        ];
        let fields =
            fields.map(|name| format!("<tr><th>{}</th><td class=\"hand\"></td></tr>", safe(name)));
        self.raw(&format!(
            "<table class=\"fields\"><tbody>{}</tbody></table>",
            fields.concat()
        ));
        self.rules();
        self.put("h2", "", "What this is for");
        for line in &procedure.scope {
            self.put("p", "", line);
        }
        self.needed();
        self.again();
        self.raw("</section>");
    }

    fn sheet_line(&mut self) {
        let Some(sheet) = self.chart.sheet else {
            let told = "No sheet was given. Where a limit names a value of the sheet, take it from \
                        the sheet of this vehicle and write it in.";
            self.put("p", "", told);
            return;
        };
        let line = format!(
            "Sheet: {} ({}, revision {})",
            sheet.title, sheet.id, sheet.revision
        );
        self.put("p", "", &line);
        for line in &sheet.identify {
            self.put("p", "", line);
        }
        let out = self.met.iter().filter(|met| !**met).count();
        if out > 0 {
            let line = format!(
                "For this sheet only: {out} steps that other vehicles need are left out. Steps keep \
                 their numbers, so numbers are missing."
            );
            self.labelled("", "Left out.", &line);
        }
    }

    /// What the paper can't do, before anything else.
    fn rules(&mut self) {
        self.raw("<div class=\"frame\">");
        self.put(
            "p",
            "",
            "The maker's instructions, local rules and licensed practice come before this page.",
        );
        self.labelled(
            "",
            "Paper can't enforce gates.",
            "Nothing here keeps you from going on. At each gate say aloud what is true, sign, and \
             only then go on. What must be true stands at the head of a step: if it is not, stop.",
        );
        self.labelled(
            "",
            "Paper does not judge.",
            "Hold each reading against its limit yourself, with what your instrument may be off. \
             Outside is outside: take the way that the page gives.",
        );
        self.labelled(
            "",
            "A true thing can end.",
            "What was ticked an hour ago or before a break may no longer be so. Ask again after \
             every break, and before every movement.",
        );
        self.raw("</div>");
    }

    fn needed(&mut self) {
        let chart = self.chart;
        let procedure = chart.procedure;
        self.put("h2", "", "What is needed");
        let mut bring: Vec<&str> = Vec::new();
        for step in &procedure.steps {
            if let Some(thing) = step.bring.as_deref()
                && !bring.contains(&thing)
            {
                bring.push(thing);
            }
        }
        if !bring.is_empty() {
            self.labelled("", "To bring:", &bring.join("; "));
        }
        if !procedure.roles.is_empty() {
            self.raw(
                "<table><thead><tr><th>To measure with</th><th>measures</th><th>instrument used</th><th>calibrated until</th></tr></thead><tbody>",
            );
            for role in procedure.roles.values() {
                self.raw(&format!(
                    "<tr><td>{}</td><td>{}</td><td class=\"hand\"></td><td class=\"hand\"></td></tr>",
                    safe(&role.title),
                    safe(role.kind.name())
                ));
            }
            self.raw("</tbody></table>");
        }
        if procedure.sheet.is_empty() {
            return;
        }
        self.raw(
            "<table class=\"small\"><thead><tr><th>Of the sheet</th><th>value</th><th>its source</th></tr></thead><tbody>",
        );
        for (key, need) in &procedure.sheet {
            let row = chart.sheet.and_then(|sheet| sheet.values.get(key));
            let value = match (chart.sheet_value(key), need) {
                (Some(value), _) => safe(&value),
                (None, SheetNeed::Word(words)) => safe(&format!("one of: {}", words.join(", "))),
                (None, SheetNeed::Quantity(_) | SheetNeed::Text) => String::new(),
            };
            let title = row.map_or_else(
                || spaced(key.as_str()),
                |row| format!("{}: {}", spaced(key.as_str()), row.title),
            );
            self.raw(&format!(
                "<tr><td>{}</td><td class=\"hand\">{value}</td><td>{}</td></tr>",
                safe(&title),
                row.map_or_else(String::new, |row| safe(&row.source))
            ));
        }
        self.raw("</tbody></table>");
    }

    /// The questions to be asked again after a break.
    fn again(&mut self) {
        let procedure = self.chart.procedure;
        let asks = procedure.conditions.values().filter_map(|c| c.ask.as_ref());
        let asks: Vec<_> = asks.collect();
        if asks.is_empty() {
            return;
        }
        self.put("h2", "", "Ask again after every break");
        self.put(
            "p",
            "",
            "Whatever the next step needs of these is asked again before it is begun:",
        );
        self.raw("<ul>");
        for ask in asks {
            self.put("li", "", &ask.question);
        }
        self.raw("</ul>");
    }
}
