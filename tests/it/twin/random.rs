//! Small random step graphs, the same for the same seed.
//!
//! Most are full of faults; that is what they are for. They are valid only so far
//! that every name resolves and every outcome has its way.

use std::collections::BTreeMap;

use levelhand::procedure::{
    Body, Choice, EndKind, Grade, Lasts, Outcome, Procedure, Step, Subject, When,
};

use crate::sketch::{
    Does, Named, Sketch, act, condition, end, hazard, id, ids, limit, look, phase, procedure,
    reading, reading_of, step, working,
};

/// A source of chance.
///
/// # Source
/// `SplitMix64`: Steele, Lea, Flood 2014, "Fast splittable pseudorandom number
/// generators", figure 17 (constants from memory).
#[derive(Debug)]
pub(crate) struct Chance(u64);

impl Chance {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// One of `0..end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.next() % end.max(1) as u64) as usize
    }

    /// True so many times in a hundred.
    pub(crate) fn percent(&mut self, share: usize) -> bool {
        self.below(100) < share
    }

    /// Each name of `letter0..` with this chance, as words.
    fn some(&mut self, letter: char, count: usize, share: usize) -> String {
        let names = (0..count).filter(|_| self.percent(share));
        let names: Vec<String> = names.map(|n| format!("{letter}{n}")).collect();
        names.join(" ")
    }
}

/// How many of each there are.
struct Size {
    steps: usize,
    conditions: usize,
    duties: usize,
    readings: usize,
    workings: usize,
    settings: usize,
    acts: usize,
    hazards: usize,
}

/// A random graph of at most eight steps.
pub(crate) fn graph(seed: u64) -> Procedure {
    let mut chance = Chance::new(seed);
    let size = Size {
        steps: 3 + chance.below(6),
        conditions: 1 + chance.below(4),
        duties: chance.below(3),
        readings: 1 + chance.below(4),
        workings: chance.below(3),
        settings: chance.below(3),
        acts: chance.below(3),
        hazards: chance.below(3),
    };
    let mut made = declarations(&mut chance, &size);
    phases(&mut chance, &size, &mut made);
    for number in 0..size.steps {
        let step = any_step(&mut chance, &size, number);
        made.steps.push(step);
    }
    // Phases lie one after the other; the last one may be a stop-work route.
    let count = made.phases.len();
    for (number, step) in made.steps.iter_mut().enumerate() {
        step.phase = number * count / size.steps;
    }
    let handed_over = made
        .steps
        .iter()
        .find(|s| s.body == Body::End(EndKind::HandedOver));
    made.hand_over = handed_over
        .map(|s| s.id.clone())
        .filter(|_| chance.percent(70));
    made
}

fn declarations(chance: &mut Chance, size: &Size) -> Procedure {
    let mut made = procedure("s0");
    for n in 0..size.conditions {
        let lasts = match chance.below(100) {
            0..25 => Lasts::Step,
            25..40 => Lasts::Resume,
            40..55 => Lasts::For(4_000),
            _ => Lasts::Job,
        };
        let name = format!("c{n}");
        made.conditions.insert(id(&name), condition(&name, lasts));
    }
    for _ in 0..chance.below(3) {
        let group = ids(&chance.some('c', size.conditions, 50));
        if group.len() > 1 {
            made.exclusive.push(group);
        }
    }
    for n in 0..size.duties {
        made = made.duties(&format!("d{n}"));
    }
    for n in 0..size.settings {
        made = made.setting(&format!("k{n}"));
    }
    for n in 0..size.readings {
        let name = format!("v{n}");
        let new = if size.settings > 0 && chance.percent(60) {
            let when = if chance.percent(40) {
                When::AsFound
            } else {
                When::AsLeft
            };
            reading_of(&name, &format!("k{}", chance.below(size.settings)), when)
        } else {
            reading(&name)
        };
        made.readings.insert(id(&name), new);
    }
    for n in 0..size.workings {
        // Workings are named after the readings, and may take in earlier ones.
        let name = format!("v{}", size.readings + n);
        let mut inputs = chance.some('v', size.readings + n, 40);
        if chance.percent(20) {
            inputs.push_str(" *v0");
        }
        made.workings.insert(id(&name), working(&name, &inputs));
    }
    for n in 0..size.hazards {
        let name = format!("h{n}");
        let needs = chance.some('c', size.conditions, 25);
        made.hazards.insert(id(&name), hazard(&name, &needs));
    }
    for n in 0..size.acts {
        let name = format!("a{n}");
        let new = act(
            &name,
            &chance.some('h', size.hazards, 40),
            &chance.some('c', size.conditions, 20),
            &chance.some('c', size.conditions, 20),
            &chance.some('k', size.settings, 30),
        );
        made.acts.insert(id(&name), new);
    }
    made.safe = ids(&chance.some('c', size.conditions, 20));
    made
}

fn phases(chance: &mut Chance, size: &Size, made: &mut Procedure) {
    let count = 1 + chance.below(3);
    let has_route = count > 1 && chance.percent(70);
    // The first step of the last phase, when phases share the steps evenly.
    let first_of_last = (0..size.steps).find(|n| n * count / size.steps == count - 1);
    let first_of_last = first_of_last.unwrap_or(0);
    made.phases = (0..count)
        .map(|n| {
            let stop = if has_route {
                first_of_last
            } else {
                chance.below(size.steps)
            };
            let route = has_route && n == count - 1;
            let mut made = phase(&format!("p{n}"), &format!("s{stop}"), route);
            // Ways are written out here; that nothing falls into or out of such a
            // phase is tried on documents.
            made.aside |= n > 0 && chance.percent(25);
            made
        })
        .collect();
}

/// Usually the next step, else any.
fn target(chance: &mut Chance, size: &Size, number: usize) -> String {
    let to = if chance.percent(55) && number + 1 < size.steps {
        number + 1
    } else {
        chance.below(size.steps)
    };
    format!("s{to}")
}

fn any_step(chance: &mut Chance, size: &Size, number: usize) -> Step {
    let name = format!("s{number}");
    let last = number + 1 == size.steps;
    let made = match chance.below(100) {
        _ if last => any_end(chance, &name),
        0..12 if number > 0 => any_end(chance, &name),
        12..35 => any_look(chance, size, number),
        _ => any_ordinary(chance, size, number),
    };
    let acts = if chance.percent(30) { 50 } else { 0 };
    made.needs(&chance.some('c', size.conditions, 18))
        .clears(&chance.some('c', size.conditions, 10))
        .acts(&chance.some('a', size.acts, acts))
        .hazards(&chance.some('h', size.hazards, 12))
        .incurs(&chance.some('d', size.duties, 15))
}

fn any_end(chance: &mut Chance, name: &str) -> Step {
    let kind = match chance.below(10) {
        0..5 => EndKind::Complete,
        5..8 => EndKind::HandedOver,
        _ => EndKind::MadeSafe,
    };
    end(name, kind)
}

fn any_look(chance: &mut Chance, size: &Size, number: usize) -> Step {
    let choices = 2 + chance.below(2);
    let mut made = look(&format!("s{number}"), "");
    let mut list = Vec::new();
    for n in 0..choices {
        let counted = n > 0 && chance.percent(35);
        list.push(Choice {
            id: id(&format!("o{n}")),
            text: format!("o{n}"),
            to: id(&target(chance, size, number)),
            establishes: ids(&chance.some('c', size.conditions, 30)),
            incurs: ids(&chance.some('d', size.duties, 15)),
            settles: ids(&chance.some('d', size.duties, 20)),
            tries: counted.then(|| 1 + chance.below(2) as u32),
        });
    }
    if let Body::Look { choices, .. } = &mut made.body {
        *choices = list;
    }
    if chance.percent(20) {
        made = made.reads(&chance.some('v', size.readings, 40));
    }
    made
}

fn any_ordinary(chance: &mut Chance, size: &Size, number: usize) -> Step {
    let mut ways = BTreeMap::from([(Outcome::Pass, id(&target(chance, size, number)))]);
    for (outcome, share) in [
        (Outcome::Fail, 50),
        (Outcome::TooClose, 10),
        (Outcome::Lapsed, 15),
    ] {
        if chance.percent(share) {
            ways.insert(outcome, id(&target(chance, size, number)));
        }
    }
    let mut most = None;
    if ways.len() > 1 && chance.percent(50) {
        ways.insert(Outcome::Spent, id(&target(chance, size, number)));
        most = Some(1 + chance.below(3) as u32);
    }
    let mut made = step(&format!("s{number}"), "")
        .makes(&chance.some('c', size.conditions, 35))
        .settles(&chance.some('d', size.duties, 20))
        .changes(&chance.some('k', size.settings, 12))
        .reads(&chance.some('v', size.readings, 30));
    if let Body::Ordinary {
        tries, ways: all, ..
    } = &mut made.body
    {
        *tries = most;
        *all = ways;
    }
    for n in 0..size.workings {
        if chance.percent(25) {
            made.works.push(id(&format!("v{}", size.readings + n)));
        }
    }
    for _ in 0..2 {
        if chance.percent(25) {
            made.limits
                .push(limit(any_subject(chance, size), Grade::Interlock));
        }
    }
    made
}

fn any_subject(chance: &mut Chance, size: &Size) -> Subject {
    let values = size.readings + size.workings;
    let mut value = || id_of('v', chance.below(values));
    let (a, b) = (value(), value());
    match chance.below(10) {
        0..6 => Subject::Value(a),
        6..8 => Subject::Difference(a, b),
        _ => Subject::Age(id_of('c', chance.below(size.conditions))),
    }
}

fn id_of<T: Named>(letter: char, number: usize) -> T {
    id(&format!("{letter}{number}"))
}
