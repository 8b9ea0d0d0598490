//! One step on paper: what must be true, what to do, what to answer, where it leads.
//!
//! Invariant: nothing of a step is left out; every way out of it is a line of its own.

use std::fmt::Write as _;

use super::super::graph::{By, Sort, Way, spaced};
use super::super::mark::safe;
use super::super::phrase::{grade, rule, tries};
use super::{Page, blank, boxes, tick};
use crate::calc;
use crate::procedure::{
    Body, Confirm, Limit, Outcome, Reading, Side, Step, Tick, ValueId, WorkInput, Working,
};
use crate::quantity::Rule;

impl Page<'_> {
    pub(super) fn step(&mut self, at: usize, step: &Step) {
        let sort = self.graph.sort(step);
        let class = match sort {
            Sort::Gate => "gate",
            Sort::Movement => "movement",
            Sort::End(_) => "end",
            Sort::Step | Sort::Look | Sort::SheetLook => "plain",
        };
        self.open("article", class);
        if !sort.word().is_empty() {
            self.put("span", "kind", sort.word());
        }
        self.put("h3", "", &self.graph.named(at));
        self.before(step);
        self.met(step);
        self.doing(step);
        if !step.ticks.is_empty() || !step.readings.is_empty() || !step.works.is_empty() {
            self.answers(step);
        }
        for limit in &step.limits {
            self.limit(limit);
        }
        self.confirm(step, sort);
        self.after(step);
        self.ways(at, step);
        self.raw("</article>");
    }

    /// Where, with what, and what must be so.
    fn before(&mut self, step: &Step) {
        let chart = self.chart;
        if let Some(place) = &step.place {
            self.labelled("", "Where:", place);
        }
        if let Some(bring) = &step.bring {
            self.labelled("", "Bring:", bring);
        }
        let mut needs = chart.procedure.entry_needs(step);
        needs.extend(chart.procedure.standing_needs(step));
        if !needs.is_empty() {
            self.labelled("true", "Only if true:", &chart.conditions(&needs));
        }
        let acts = step.acts.iter().filter_map(|a| chart.procedure.acts.get(a));
        let acts: Vec<&str> = acts.map(|a| a.title.as_str()).collect();
        if !acts.is_empty() {
            self.labelled("true", "What is done:", &acts.join(" · "));
        }
    }

    fn doing(&mut self, step: &Step) {
        let chart = self.chart;
        if !step.instructions.is_empty() {
            self.raw("<ol>");
            for line in &step.instructions {
                self.put("li", "", &chart.say(line));
            }
            self.raw("</ol>");
        }
        if !step.see.is_empty() {
            self.labelled("", "You should see:", &chart.say(&step.see.join(" ")));
        }
        if !step.why.is_empty() {
            self.labelled("why", "Why:", &chart.say(&step.why.join(" ")));
        }
    }

    fn answers(&mut self, step: &Step) {
        let chart = self.chart;
        self.raw("<table class=\"fields\"><tbody>");
        for tick in &step.ticks {
            self.tick(tick);
        }
        let mut place: Option<&str> = None;
        for id in &step.readings {
            let Some(reading) = chart.procedure.readings.get(id) else {
                continue;
            };
            if reading.place.as_deref() != place
                && let Some(named) = reading.place.as_deref()
            {
                self.raw(&format!("<tr><th colspan=\"2\">{}</th></tr>", safe(named)));
            }
            place = reading.place.as_deref();
            self.reading(id, reading);
        }
        let works = step.works.iter();
        let works = works.filter_map(|id| Some((id, chart.procedure.workings.get(id)?)));
        let works: Vec<(&ValueId, &Working)> = works.collect();
        let mut last: Option<&Working> = None;
        for (id, working) in works {
            let same = last.is_some_and(|l| l.sum == working.sum && l.inputs == working.inputs);
            if !same {
                self.inputs(working);
            }
            last = Some(working);
            self.worked(id, working);
        }
        self.raw("</tbody></table>");
    }

    fn tick(&mut self, item: &Tick) {
        let mut cell = format!("{}{}", tick(&item.yes), tick(&item.no));
        if item.may_not_apply {
            cell.push_str(&tick("does not apply"));
            cell.push_str(&blank("because", "short"));
        }
        if item.words {
            cell.push_str("<br/>");
            cell.push_str(&blank("in words", "line"));
        }
        let text = safe(&self.chart.say(&item.text));
        self.raw(&format!("<tr><td>{text}</td><td>{cell}</td></tr>"));
    }

    fn reading(&mut self, id: &ValueId, reading: &Reading) {
        let chart = self.chart;
        let symbol = safe(&chart.symbol(id));
        let mut cell = format!("{}{symbol}", blank("", "short"));
        if reading.witness {
            let _ = write!(
                cell,
                "<br/>{}{symbol} {}",
                blank("second person, first value not seen", "short"),
                blank("name", "short")
            );
        }
        let mut about = safe(&reading.title);
        if let Some(role) = reading
            .role
            .as_ref()
            .and_then(|r| chart.procedure.roles.get(r))
        {
            let _ = write!(about, ", with {}", safe(&role.title));
        }
        if let Some((low, high)) = &reading.plausible {
            let unit = chart.unit(id);
            let (low, high) = (chart.side(low, unit), chart.side(high, unit));
            let _ = write!(
                about,
                "<div class=\"how\">read twice if not from {} to {}</div>",
                safe(&low),
                safe(&high)
            );
        }
        for line in &reading.how {
            let _ = write!(about, "<div class=\"how\">{}</div>", safe(&chart.say(line)));
        }
        self.raw(&format!("<tr><td>{about}</td><td>{cell}</td></tr>"));
    }

    /// What a working is made of; those that are made of the same stand under it.
    fn inputs(&mut self, working: &Working) {
        let chart = self.chart;
        let inputs = working.inputs.iter().map(|input| match input {
            WorkInput::Value(v) => chart.value(v),
            WorkInput::Series(v) => format!("all points of {}", chart.value(v)),
            WorkInput::Sheet(key) => chart.side(&Side::Sheet(key.clone()), None),
            WorkInput::Literal(q) => chart.side(&Side::Literal(*q), None),
            WorkInput::Word(word) => spaced(word),
        });
        let inputs: Vec<String> = inputs.collect();
        let sum = calc::find(&working.sum).map_or(working.sum.as_str(), |sum| sum.title);
        self.raw(&format!(
            "<tr><td colspan=\"2\">Work out: {}<div class=\"how\">with levelhand calc {}, from: {}</div></td></tr>",
            safe(sum),
            safe(&working.sum),
            safe(&inputs.join("; ")),
        ));
    }

    fn worked(&mut self, id: &ValueId, working: &Working) {
        self.raw(&format!(
            "<tr><td>{}</td><td>{}{}</td></tr>",
            safe(&working.title),
            blank("", "short"),
            safe(&self.chart.symbol(id))
        ));
    }

    fn limit(&mut self, limit: &Limit) {
        let chart = self.chart;
        self.raw("<div class=\"limit\">");
        let mut verdicts = format!("{}{}", tick("within"), tick("outside"));
        if limit.rule == Rule::Guarded {
            verdicts.push_str(&tick("too close to call"));
        }
        self.raw(&format!(
            "<p><b>LIMIT</b> {}: <b>{}</b> {verdicts}</p>",
            safe(&chart.limited(&limit.subject)),
            safe(&chart.bound(limit))
        ));
        let how = format!(
            "{}. {}. {}",
            rule(limit.rule),
            grade(limit.grade),
            limit.why
        );
        self.put("p", "how", &how);
        if !limit.too_close.is_empty() {
            self.labelled(
                "how",
                "If too close:",
                &chart.say(&limit.too_close.join(" ")),
            );
        }
        self.raw("</div>");
    }

    fn confirm(&mut self, step: &Step, sort: Sort) {
        let chart = self.chart;
        match step.confirm() {
            Confirm::Hold { .. } => {
                let said = match sort {
                    Sort::Gate => chart.conditions(&step.establishes),
                    Sort::Step | Sort::Movement | Sort::Look | Sort::SheetLook | Sort::End(_) => {
                        "I have seen it".to_owned()
                    }
                };
                self.raw(&format!(
                    "<p><b>Say aloud:</b> “{}.” {} {}</p>",
                    safe(&said),
                    blank("signed", "line"),
                    blank("at", "short")
                ));
            }
            Confirm::Pulse { within, presses } => {
                let within = chart.side(within, None);
                let told = format!("{presses} presses, none later than {within} after the last.");
                self.labelled("", "In time:", &told);
            }
            Confirm::Wait { at_least, at_most } => {
                let mut told = format!("at least {}", chart.side(at_least, None));
                if let Some(most) = at_most {
                    let _ = write!(told, ", no longer than {}", chart.side(most, None));
                }
                self.raw(&format!(
                    "<p><b>Wait:</b> {}. {}{}</p>",
                    safe(&told),
                    blank("from", "short"),
                    blank("to", "short")
                ));
            }
            Confirm::None | Confirm::Enter => {}
        }
        if let Sort::End(_) = sort {
            self.raw(&format!(
                "<p>{} {}</p>",
                blank("signed", "line"),
                blank("at", "short")
            ));
        }
    }

    /// What is true, ended and owed from here.
    fn after(&mut self, step: &Step) {
        let chart = self.chart;
        let cleared = chart.procedure.effective_clears(step);
        for (lead, text) in [
            ("No longer true:", chart.conditions(&cleared)),
            ("Still to do from here:", chart.duties(&step.incurs)),
            ("True when done:", chart.conditions(&step.establishes)),
            ("Done with this:", chart.duties(&step.settles)),
        ] {
            if !text.is_empty() {
                self.labelled("true", lead, &text);
            }
        }
        self.series(step);
    }

    /// Readings that fall due while something holds.
    fn series(&mut self, step: &Step) {
        let chart = self.chart;
        for id in &step.establishes {
            let condition = chart.procedure.conditions.get(id);
            let Some(series) = condition.and_then(|c| c.series.as_ref()) else {
                continue;
            };
            let every = series.every_ms / 1000;
            let told = format!(
                "from here, {} points in all, one every {} min {} s:",
                series.points,
                every / 60,
                every % 60
            );
            self.labelled("", "Read on", &told);
            let titles: Vec<String> = series
                .readings
                .iter()
                .map(|r| {
                    format!(
                        "<th>{} ({})</th>",
                        safe(&chart.value(r)),
                        safe(&chart.symbol(r))
                    )
                })
                .collect();
            self.raw(&format!(
                "<table><tbody><tr><th>point</th><th>time</th>{}</tr>",
                titles.concat()
            ));
            for point in 1..=series.points.min(60) {
                let cells = "<td class=\"hand\"></td>".repeat(series.readings.len() + 1);
                self.raw(&format!("<tr><td>{point}</td>{cells}</tr>"));
            }
            self.raw("</tbody></table>");
        }
    }

    fn ways(&mut self, at: usize, step: &Step) {
        if let Body::Look {
            by_sheet: Some(key),
            ..
        } = &step.body
        {
            let said = self.chart.sheet_value(key);
            let said = said.unwrap_or_else(|| "look it up, and tick what it says".to_owned());
            self.labelled("", &format!("The sheet, {}:", spaced(key.as_str())), &said);
        }
        if !step.ticks.is_empty() && step.way(Outcome::Fail).is_none() {
            self.labelled(
                "way",
                "A bad answer:",
                "put it right before going on, or stop.",
            );
        }
        let ways = self.graph.out_of(at).filter(|way| self.is_met(way.to));
        let ways: Vec<Way<'_>> = ways.copied().collect();
        for way in ways {
            match way.by {
                By::Stop => {}
                By::Choice(_) => self.choice(&way),
                By::Outcome(_) | By::Repeat => self.outcome(at, step, &way),
            }
        }
    }

    fn outcome(&mut self, at: usize, step: &Step, way: &Way<'_>) {
        let next = way.to == at + 1 && !way.is_faint();
        let counted = tries(step);
        let when = match way.by {
            By::Outcome(Outcome::Pass) => "All good:".to_owned(),
            By::Outcome(Outcome::Fail) => fails(step).to_owned(),
            By::Outcome(Outcome::TooClose) => "Too close to call:".to_owned(),
            By::Outcome(Outcome::Lapsed) => "Not kept in time:".to_owned(),
            By::Outcome(Outcome::Spent) => counted.map_or_else(
                || "All tries used:".to_owned(),
                |n| format!("Not good for the {} time:", nth(n)),
            ),
            By::Choice(_) | By::Stop => return,
            By::Repeat => "A step still to be repeated:".to_owned(),
        };
        let to = self.graph.named(way.to);
        let to = if next {
            format!("go on, {to}")
        } else {
            format!("go to {to}")
        };
        let marks = match (way.by, counted) {
            (By::Outcome(Outcome::Spent), Some(n)) => format!(" · tick each bad try: {}", boxes(n)),
            _ => String::new(),
        };
        self.raw(&format!(
            "<p class=\"way\"><b>{}</b> {}{marks}</p>",
            safe(&when),
            safe(&to)
        ));
    }

    fn choice(&mut self, way: &Way<'_>) {
        let By::Choice(choice) = way.by else {
            return;
        };
        let chart = self.chart;
        let mut line = tick(&chart.say(&choice.text));
        let _ = write!(line, "go to {}", safe(&self.graph.named(way.to)));
        if let Some(n) = choice.tries {
            let _ = write!(line, " (at most {n} times: {})", boxes(n));
        }
        self.raw(&format!("<p class=\"way\">{line}</p>"));
        for (lead, text) in [
            ("True then:", chart.conditions(&choice.establishes)),
            ("Still to do then:", chart.duties(&choice.incurs)),
            ("Done with this:", chart.duties(&choice.settles)),
        ] {
            if !text.is_empty() {
                self.labelled("true", lead, &text);
            }
        }
    }
}

/// What makes a step fail, in the words of what it asks.
fn fails(step: &Step) -> &'static str {
    match (step.limits.is_empty(), step.ticks.is_empty()) {
        (false, true) => "Outside:",
        (false, false) => "Outside, or a bad answer:",
        (true, _) => "A bad answer:",
    }
}

fn nth(n: u32) -> String {
    match n {
        1 => "first".to_owned(),
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        n => format!("{n}th"),
    }
}
