//! One phase on paper: how to stop, the cautions, then its steps.

use super::super::graph::used_at;
use super::Page;
use crate::procedure::Phase;

impl Page<'_> {
    pub(super) fn phase(&mut self, number: usize, phase: &Phase) {
        let steps = self.graph.within(number);
        let steps: Vec<usize> = steps.filter(|at| self.is_met(*at)).collect();
        if steps.is_empty() {
            return;
        }
        self.raw("<section class=\"phase\">");
        self.put("h2", "", &format!("{} {}", number + 1, phase.title));
        self.stop_card(phase);
        self.cautions(&steps);
        let mut part: Option<&str> = None;
        for at in steps {
            let Some(step) = self.graph.step(at) else {
                continue;
            };
            let place = used_at(step);
            if place != part
                && let Some(place) = place
            {
                self.put("p", "next", &format!("From here a part used as {place}:"));
            }
            part = place;
            self.step(at, step);
        }
        self.raw("</section>");
    }

    fn stop_card(&mut self, phase: &Phase) {
        self.raw("<div class=\"stop\"><b>IF YOU MUST STOP</b><ol>");
        let chart = self.chart;
        for line in chart.stop {
            self.put("li", "", line);
        }
        for line in &phase.stop_card {
            self.put("li", "", &chart.say(line));
        }
        let to = self.graph.named_id(&phase.stop);
        self.put("li", "", &format!("Go to {to}"));
        self.raw("</ol></div>");
    }
}
