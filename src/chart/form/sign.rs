//! Cautions on paper: signal word, what can happen, how to avoid it.
//!
//! Invariant: told by word and border, the colour only besides (P8).

use super::super::mark::safe;
use super::Page;
use crate::procedure::{Hazard, HazardId, Signal, Step};

/// The triangle that stands before the words about injury.
const TRIANGLE: &str = "<svg width=\"13\" height=\"12\" viewBox=\"0 0 26 24\" aria-hidden=\"true\"><path d=\"M13 1L25 23H1Z\" fill=\"#ffffff\" stroke=\"#000000\" stroke-width=\"2\"/><path d=\"M13 8V16M13 18V21\" stroke=\"#000000\" stroke-width=\"3\"/></svg> ";

const fn class(signal: Signal) -> &'static str {
    match signal {
        Signal::Danger => "danger",
        Signal::Warning => "warning",
        Signal::Caution => "caution",
        Signal::Notice => "notice",
    }
}

/// The signal word, with the triangle unless it is about things only.
fn word(signal: Signal) -> String {
    let mark = match signal {
        Signal::Danger | Signal::Warning | Signal::Caution => TRIANGLE,
        Signal::Notice => "",
    };
    format!("<span class=\"word\">{mark}{}</span>", signal.word())
}

impl Page<'_> {
    /// The hazards of some steps, worst first, each once, with the steps that meet it.
    pub(super) fn cautions(&mut self, steps: &[usize]) {
        let chart = self.chart;
        let mut met: Vec<(Signal, &HazardId, &Hazard, Vec<String>)> = Vec::new();
        for (id, hazard) in &chart.procedure.hazards {
            let at = steps.iter().filter(|at| {
                let step = self.graph.step(**at);
                step.is_some_and(|s| chart.procedure.hazards_of(s).contains(id))
            });
            let at: Vec<String> = at.map(|at| self.graph.number(*at).to_owned()).collect();
            if !at.is_empty() {
                met.push((hazard.signal, id, hazard, at));
            }
        }
        met.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(b.1)));
        for (signal, _, hazard, at) in met {
            self.raw(&format!(
                "<div class=\"sign {}\">{}<div class=\"said\">",
                class(signal),
                word(signal)
            ));
            self.raw(&format!(
                "<b>{}{}</b> {} <span class=\"why\">(at {})</span>",
                safe(&hazard.title),
                if hazard.title.ends_with(['.', '!', '?']) {
                    ""
                } else {
                    "."
                },
                safe(&hazard.consequence),
                at.join(", ")
            ));
            for line in &hazard.avoid {
                let line = chart.say(line);
                self.put("p", "", &line);
            }
            self.raw("</div></div>");
        }
    }

    /// The hazards met in a step, in a line each, worst first.
    pub(super) fn met(&mut self, step: &Step) {
        let chart = self.chart;
        let ids = chart.procedure.hazards_of(step);
        let hazards = ids.iter().filter_map(|id| chart.procedure.hazards.get(id));
        let mut hazards: Vec<&Hazard> = hazards.collect();
        hazards.sort_by_key(|hazard| std::cmp::Reverse(hazard.signal));
        if hazards.is_empty() {
            return;
        }
        let each = hazards.iter().map(|h| {
            format!(
                "<span class=\"one\">{} {}</span>",
                word(h.signal),
                safe(&h.title)
            )
        });
        let each: Vec<String> = each.collect();
        self.raw(&format!("<p class=\"met\">{}</p>", each.join(" ")));
    }
}
