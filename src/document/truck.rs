//! Trucks to practise on.
//!
//! A truck that is `like` another takes everything from it that it does not say
//! itself; cards, readings and answers are merged by their names.
//!
//! Must not know: what a procedure makes of a reading.

use std::collections::BTreeMap;

use super::at_hand::{ANSWERS, READINGS};
use super::code::{
    BAD_NAME, DUPLICATE_NAME, KIND_MISMATCH, LIKE_CYCLE, OUT_OF_RANGE, UNKNOWN_NAME,
};
use super::form;
use super::json::{Json, Member, Node, Span};
use super::reader::{Fields, Reader, at};
use crate::finding::{Finding, listed};
use crate::procedure::ProcedureId;
use crate::quantity::Kind;
use crate::rig::{
    ArmGeometry, Card, Fact, PARAMETERS, Parameter, Params, Spot, Truck, Truth, sights,
};

/// The format of trucks.
pub(super) const FORMAT: &str = "levelhand truck 1";

/// Trucks that are like one another, at most so many in a row.
const LIKES: usize = 8;

/// Counts that a control unit can keep.
const COUNTS: (f64, f64) = (0.0, 1023.0);

/// The text of another truck, by its id.
pub(super) type Find<'a> = &'a dyn Fn(&str) -> Option<Vec<u8>>;

/// Makes the physics to begin with.
pub(super) type Base = fn() -> Params;

/// The physics that the model brings, by their words.
pub(super) const BASES: [(&str, Base); 2] = [
    ("two_bellows", Params::two_bellows),
    ("four_bellows", Params::four_bellows),
];

/// How the write-out is asked for.
struct Write {
    least_v: f64,
    within_ms: u64,
    presses: u32,
    battery: String,
}

/// A name of a sight or a card, to be held against them when all are known.
struct Named {
    name: String,
    span: Span,
    what: &'static str,
}

impl Reader {
    /// A truck; `find` gives the text of those that it is like. `above` are the trucks
    /// that are like it, itself the last; none where it is read for its own sake.
    pub(super) fn truck(&mut self, root: &Node, find: Find<'_>, above: &[String]) -> Option<Truck> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::TRUCK)?;
        self.schema(&f);
        let id: Option<ProcedureId> = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let is_like = f.get("like").is_some();
        let like = f.get("like");
        let like = like.and_then(|n| self.like_truck(n, id.as_ref(), find, above));
        let of = |take: fn(&Truck) -> String| like.as_ref().map(take);
        let sheet = self.own_field(&f, "sheet", is_like, of(|t| t.sheet.clone()), |r, n| {
            r.other(n, "sheet", |hand| &hand.sheets)
        });
        let params = self.physics_of(&f, is_like, like.as_ref());
        let (start, reservoir) = self.start_of(&f, is_like, like.as_ref());
        let arm = match f.get("arm") {
            Some(node) => self.arm(node),
            None => like.as_ref().and_then(|t| t.arm),
        };
        let stored = like.as_ref().map(|t| t.stored);
        let stored = self.own_field(&f, "stored", is_like, stored, Self::stored);
        let band = like.as_ref().map(|t| t.dead_band);
        let dead_band = self.own_field(&f, "dead_band", is_like, band, Self::counts);
        let blocks = like.as_ref().map(|t| t.blocks);
        let blocks = self.own_field(&f, "blocks", is_like, blocks, Self::two_sides);
        let mut named = Vec::new();
        let write = self.write_of(&f, is_like, like.as_ref(), &mut named);
        let mut cards = like.as_ref().map(|t| t.cards.clone()).unwrap_or_default();
        self.cards(&f, is_like, &mut cards);
        let mut readings = like
            .as_ref()
            .map(|t| t.readings.clone())
            .unwrap_or_default();
        self.shown_readings(&f, is_like, &mut readings, &mut named);
        let mut answers = like.as_ref().map(|t| t.answers.clone()).unwrap_or_default();
        self.answers_of(&f, is_like, &mut answers, &mut named);
        if !is_like || like.is_some() {
            self.hold_names(&f, &named, &cards);
            self.hold_kinds(&named, &cards);
        }
        let (write, start) = (write?, start?);
        Some(Truck {
            id: id?.to_string(),
            title,
            sheet: sheet?,
            params: params?,
            start,
            reservoir,
            arm,
            stored: stored?,
            dead_band: dead_band?,
            blocks: blocks?,
            write_least_v: write.least_v,
            write_within_ms: write.within_ms,
            write_presses: write.presses,
            battery: write.battery,
            cards,
            readings,
            answers,
        })
    }

    /// The truck that this one is like.
    fn like_truck(
        &mut self,
        node: &Node,
        own: Option<&ProcedureId>,
        find: Find<'_>,
        above: &[String],
    ) -> Option<Truck> {
        let other = self.other(node, "truck", |hand| &hand.trucks)?;
        let own: Vec<String> = own.iter().map(ToString::to_string).collect();
        let led_here = if above.is_empty() { &own } else { above };
        self.truck_named(&other, node.span, find, led_here)
    }

    /// The truck of that id, for one that is like it or for what is tried on it. `above`
    /// are the trucks that led here.
    pub(super) fn truck_named(
        &mut self,
        id: &str,
        span: Span,
        find: Find<'_>,
        above: &[String],
    ) -> Option<Truck> {
        if let Some(sentence) = endless(id, above) {
            self.push(at(LIKE_CYCLE, span, sentence).help(NO_LIKE));
            return None;
        }
        let Some(bytes) = find(id) else {
            let is_told = self
                .at_hand
                .as_ref()
                .is_some_and(|h| !h.trucks.contains(id));
            if !is_told {
                let sentence =
                    format!("the truck {id} is not here, so this one can't be read whole");
                let finding = at(UNKNOWN_NAME, span, sentence)
                    .help("give its file too, or lay it among the shop's documents");
                self.push(finding);
            }
            return None;
        };
        let (root, mut findings) = super::json::scan(&bytes);
        let mut other = Self::default();
        let led_here: Vec<String> = above.iter().cloned().chain([id.to_owned()]).collect();
        let truck = root.and_then(|root| other.truck(&root, find, &led_here));
        findings.append(&mut other.findings);
        if let Some(cycle) = findings.iter().find(|f| f.code == LIKE_CYCLE) {
            let again = at(LIKE_CYCLE, span, cycle.sentence.clone());
            self.push(again.help(NO_LIKE));
            return None;
        }
        if findings.iter().any(Finding::is_error) || truck.is_none() {
            let sentence = format!("the truck {id} has errors, so this one can't be read whole");
            self.push(at(UNKNOWN_NAME, span, sentence).help("mend that one first"));
            return None;
        }
        truck
    }

    /// A field that must be there, unless the truck is like another.
    fn own_field<T>(
        &mut self,
        f: &Fields<'_>,
        name: &str,
        is_like: bool,
        other: Option<T>,
        read: impl FnOnce(&mut Self, &Node) -> Option<T>,
    ) -> Option<T> {
        match self.own_node(f, name, is_like) {
            Some(node) => read(self, node),
            None => other,
        }
    }

    fn own_node<'a>(&mut self, f: &Fields<'a>, name: &str, is_like: bool) -> Option<&'a Node> {
        if is_like {
            f.get(name)
        } else {
            self.need(f, name)
        }
    }

    fn physics_of(
        &mut self,
        f: &Fields<'_>,
        is_like: bool,
        like: Option<&Truck>,
    ) -> Option<Params> {
        let other = like.map(|t| t.params.clone());
        let mut params = self.own_field(f, "base", is_like, other, |r, n| {
            r.word(n, &BASES).map(|base| base())
        });
        if let Some(node) = f.get("physics") {
            for (name, value) in self.physics(node) {
                if let (Some(params), Some(parameter)) = (&mut params, Parameter::named(&name)) {
                    parameter.set(params, value);
                }
            }
        }
        params
    }

    /// Numbers of the physics by their names, each within its bounds.
    pub(super) fn physics(&mut self, node: &Node) -> Vec<(String, f64)> {
        let mut out = Vec::new();
        for member in self.named_members(node, "numbers of the physics") {
            let Some(parameter) = Parameter::named(&member.key) else {
                let sentence = format!("no number of the physics is called {:?}", member.key);
                let known = PARAMETERS.iter().map(|p| p.name);
                let finding =
                    at(UNKNOWN_NAME, member.key_span, sentence).help_near(&member.key, known);
                self.push(finding);
                continue;
            };
            if let Some(value) = self.number(&member.node, parameter) {
                out.push((member.key.clone(), value));
            }
        }
        out
    }

    fn number(&mut self, node: &Node, parameter: &Parameter) -> Option<f64> {
        let Parameter {
            name, least, most, ..
        } = *parameter;
        let wanted = "a number; its unit is the end of its name";
        self.number_in(node, name, wanted, (least, most))
    }

    /// A plain number within bounds; `name` is what has them.
    pub(super) fn number_in(
        &mut self,
        node: &Node,
        name: &str,
        wanted: &str,
        (least, most): (f64, f64),
    ) -> Option<f64> {
        let Json::Number(written) = &node.value else {
            self.shape(node, wanted);
            return None;
        };
        let value = written.parse::<f64>().ok().filter(|n| n.is_finite());
        let fits = value.filter(|n| (least..=most).contains(n));
        if fits.is_none() {
            let sentence =
                format!("{written} can't stand here; {name} goes from {least} to {most}");
            self.push(at(OUT_OF_RANGE, node.span, sentence));
        }
        fits
    }

    fn start_of(
        &mut self,
        f: &Fields<'_>,
        is_like: bool,
        like: Option<&Truck>,
    ) -> (Option<[f64; 2]>, Option<f64>) {
        let Some(node) = self.own_node(f, "start", is_like) else {
            return (like.map(|t| t.start), like.and_then(|t| t.reservoir));
        };
        let Some(s) = self.object(node, &form::START) else {
            return (None, None);
        };
        let left = self.need(&s, "left").and_then(|n| self.metres(n));
        let right = self.need(&s, "right").and_then(|n| self.metres(n));
        let reservoir = s.get("reservoir").and_then(|n| self.tank(n));
        (
            left.zip(right).map(|(left, right)| [left, right]),
            reservoir,
        )
    }

    /// The gauge pressure in a tank, Pa.
    pub(super) fn tank(&mut self, node: &Node) -> Option<f64> {
        let gauge = self.quantity(node, Kind::GaugePressure)?.si();
        if !(0.0..=1.4e6).contains(&gauge) {
            self.push(at(
                OUT_OF_RANGE,
                node.span,
                "a tank holds from 0 bar to 14 bar",
            ));
            return None;
        }
        Some(gauge)
    }

    fn arm(&mut self, node: &Node) -> Option<ArmGeometry> {
        let f = self.object(node, &form::ARM)?;
        let mut take = |name: &str| self.need(&f, name).and_then(|n| self.metres(n));
        let arm = take("length");
        let pivot_back = take("pivot_back");
        let pivot_below_frame = take("pivot_below_frame");
        let frame_front = take("frame_front");
        let axle_over_floor = take("axle_over_floor");
        Some(ArmGeometry {
            arm: arm?,
            pivot_back: pivot_back?,
            pivot_below_frame: pivot_below_frame?,
            frame_front: frame_front?,
            axle_over_floor: axle_over_floor?,
        })
    }

    fn stored(&mut self, node: &Node) -> Option<[u16; 3]> {
        let f = self.object(node, &form::STORED)?;
        let mut take = |name: &str| self.need(&f, name).and_then(|n| self.counts(n));
        let (ride, upper, lower) = (take("ride"), take("upper"), take("lower"));
        Some([ride?, upper?, lower?])
    }

    fn counts(&mut self, node: &Node) -> Option<u16> {
        let counts = self.quantity(node, Kind::Count)?.si();
        let (least, most) = COUNTS;
        if !(least..=most).contains(&counts) {
            let sentence = format!("{counts} counts can't stand here; {least} to {most} can");
            self.push(at(OUT_OF_RANGE, node.span, sentence));
            return None;
        }
        Some(counts.round() as u16)
    }

    /// A length, in metres, more than none.
    pub(super) fn metres(&mut self, node: &Node) -> Option<f64> {
        let metres = self.quantity(node, Kind::Length)?.si();
        if metres > 0.0 && metres < 20.0 {
            return Some(metres);
        }
        let sentence = "this length must be more than 0 mm and less than 20 m";
        self.push(at(OUT_OF_RANGE, node.span, sentence));
        None
    }

    /// A length left and one right, both there.
    fn two_sides(&mut self, node: &Node) -> Option<[f64; 2]> {
        let f = self.object(node, &form::SIDES)?;
        let left = self.need(&f, "left").and_then(|n| self.metres(n));
        let right = self.need(&f, "right").and_then(|n| self.metres(n));
        Some([left?, right?])
    }

    fn write_of(
        &mut self,
        f: &Fields<'_>,
        is_like: bool,
        like: Option<&Truck>,
        named: &mut Vec<Named>,
    ) -> Option<Write> {
        let Some(node) = self.own_node(f, "write", is_like) else {
            return like.map(|t| Write {
                least_v: t.write_least_v,
                within_ms: t.write_within_ms,
                presses: t.write_presses,
                battery: t.battery.clone(),
            });
        };
        let w = self.object(node, &form::WRITE)?;
        let least = self.need(&w, "at_least");
        let least = least.and_then(|n| self.quantity(n, Kind::Voltage));
        let within = self.need(&w, "within").and_then(|n| self.any_time_ms(n));
        let presses = self.need(&w, "presses").and_then(|n| self.count(n, 1, 100));
        let battery = self.need(&w, "battery").and_then(|n| {
            let name = self.string(n)?.to_owned();
            named.push(Named {
                name: name.clone(),
                span: n.span,
                what: BATTERY,
            });
            Some(name)
        });
        Some(Write {
            least_v: least?.si(),
            within_ms: within?,
            presses: presses?,
            battery: battery?,
        })
    }

    /// The members of an object whose keys are names, without a note among them.
    pub(super) fn named_members<'a>(
        &mut self,
        node: &'a Node,
        what: &str,
    ) -> impl Iterator<Item = &'a Member> + use<'a> {
        let members = self.members(node, what).unwrap_or_default();
        for note in members.iter().filter(|m| m.key == "note") {
            if !matches!(note.node.value, Json::Object(_)) {
                self.lines(&note.node, usize::MAX);
            }
        }
        let is_note = |m: &&Member| m.key == "note" && !matches!(m.node.value, Json::Object(_));
        members.iter().filter(move |m| !is_note(m))
    }

    fn cards(&mut self, f: &Fields<'_>, is_like: bool, cards: &mut BTreeMap<String, Card>) {
        let Some(node) = self.own_node(f, "cards", is_like) else {
            return;
        };
        for member in self.named_members(node, "cards") {
            let key: Option<ProcedureId> = self.key(member);
            if sights().iter().any(|s| s.key == member.key) {
                let sentence = format!(
                    "a card can't be called {:?}: the truck shows something of that name itself",
                    member.key
                );
                self.push(at(DUPLICATE_NAME, member.key_span, sentence));
            }
            let card = self.card(&member.node);
            if let (Some(key), Some(card)) = (key, card) {
                cards.insert(key.to_string(), card);
            }
        }
    }

    fn card(&mut self, node: &Node) -> Option<Card> {
        let f = self.object(node, &form::CARD)?;
        let title = self.title(&f);
        let spots = Spot::ALL.map(|spot| (spot.key(), spot));
        let spot = self.need(&f, "place").and_then(|n| self.word(n, &spots));
        let truth = self.need(&f, "truth").and_then(|n| self.truth(n));
        let mut changes = Vec::new();
        if let Some(node) = f.get("after") {
            let facts = Fact::ALL.map(|fact| (fact.key(), fact));
            for member in self.named_members(node, "what changes it") {
                let key = Node {
                    span: member.key_span,
                    value: Json::String(member.key.clone()),
                };
                let fact = self.word(&key, &facts);
                let changed = self.truth(&member.node);
                if let (Some(truth), Some(changed)) = (&truth, &changed)
                    && sort(truth) != sort(changed)
                {
                    let sentence =
                        format!("this is {}; the card is {}", said(changed), said(truth));
                    let finding = at(KIND_MISMATCH, super::reader::head(&member.node), sentence);
                    self.push(finding.help("a card says the same sort of thing all the time"));
                }
                changes.extend(fact.zip(changed));
            }
        }
        let with_height = match f.get("with_height") {
            Some(node) => Some(self.with_height(node, truth.as_ref())?),
            None => None,
        };
        Some(Card {
            title,
            spot: spot?,
            truth: truth?,
            changes,
            with_height,
        })
    }

    /// So much a metre, from this height.
    fn with_height(&mut self, node: &Node, truth: Option<&Truth>) -> Option<(f64, f64)> {
        let f = self.object(node, &form::WITH_HEIGHT)?;
        let per = self.need(&f, "per_mm");
        let from = self.need(&f, "from").and_then(|n| self.metres(n));
        let kind = match truth {
            Some(Truth::Value(quantity)) => quantity.kind(),
            Some(Truth::Word { .. }) => {
                let sentence = "a word does not move with the height";
                let finding = at(KIND_MISMATCH, f.open(), sentence);
                self.push(finding.help("leave \"with_height\" out, or give a value"));
                return None;
            }
            None => return None,
        };
        let per = per.and_then(|n| self.quantity(n, kind.difference()));
        Some((per?.si() * 1000.0, from?))
    }

    /// What is so at a place: a value, or a word with whether it is good.
    pub(super) fn truth(&mut self, node: &Node) -> Option<Truth> {
        if !matches!(node.value, Json::Object(_)) {
            let kind = self.kind_of_unit(node)?;
            return self.quantity(node, kind).map(Truth::Value);
        }
        let f = self.object(node, &form::TRUTH)?;
        let which = self.only_one(&f, &["value", "word"])?;
        let alien: &[&str] = if which == "value" {
            &["good"]
        } else {
            &["kind"]
        };
        let with = if which == "value" { "word" } else { "value" };
        for name in alien {
            self.belongs(&f, name, with);
        }
        let value = f.get(which)?;
        if which == "word" {
            let good = self.need(&f, "good").is_some();
            let is_good = self.flag(&f, "good");
            let word = self.line(value, super::reader::TITLE)?;
            return good.then_some(Truth::Word {
                word,
                good: is_good,
            });
        }
        let kind = match f.get("kind") {
            Some(kind) => self.kind(kind)?,
            None => self.kind_of_unit(value)?,
        };
        self.quantity(value, kind).map(Truth::Value)
    }

    fn shown_readings(
        &mut self,
        f: &Fields<'_>,
        is_like: bool,
        readings: &mut BTreeMap<String, String>,
        named: &mut Vec<Named>,
    ) {
        let Some(node) = self.own_node(f, "readings", is_like) else {
            return;
        };
        for member in self.named_members(node, "readings") {
            let key: Option<ProcedureId> = self.key(member);
            self.held(&member.key, member.key_span, "reading", READINGS);
            if let (Some(key), Some(shown)) = (key, self.shown_by(&member.node, READING, named)) {
                readings.insert(key.to_string(), shown);
            }
        }
    }

    fn answers_of(
        &mut self,
        f: &Fields<'_>,
        is_like: bool,
        answers: &mut BTreeMap<String, String>,
        named: &mut Vec<Named>,
    ) {
        let Some(node) = self.own_node(f, "answers", is_like) else {
            return;
        };
        for member in self.named_members(node, "answers") {
            let is_pair = member.key.split_once('.').is_some_and(|(step, answer)| {
                crate::procedure::StepId::new(step).is_ok()
                    && crate::procedure::TickId::new(answer).is_ok()
            });
            if is_pair {
                self.held(&member.key, member.key_span, "tick or choice", ANSWERS);
            } else {
                let sentence = format!("{:?} names no answer", member.key);
                let finding = at(BAD_NAME, member.key_span, sentence)
                    .help("write the step, a full stop, and the tick or choice: chocks.left");
                self.push(finding);
            }
            if let Some(shown) = self.shown_by(&member.node, ANSWER, named) {
                answers.insert(member.key.clone(), shown);
            }
        }
    }

    fn shown_by(
        &mut self,
        node: &Node,
        what: &'static str,
        named: &mut Vec<Named>,
    ) -> Option<String> {
        let name = self.string(node)?.to_owned();
        named.push(Named {
            name: name.clone(),
            span: node.span,
            what,
        });
        Some(name)
    }

    /// Every name is one of a sight or a card.
    fn hold_names(&mut self, f: &Fields<'_>, named: &[Named], cards: &BTreeMap<String, Card>) {
        // A card that could not be read has its finding there.
        let written = f.get("cards").map(|n| &n.value);
        let written = match written {
            Some(Json::Object(members)) => members.as_slice(),
            Some(
                Json::Null | Json::Bool(_) | Json::Number(_) | Json::String(_) | Json::List(_),
            )
            | None => &[],
        };
        let known = || {
            let own = cards.keys().map(String::as_str);
            let written = written.iter().map(|m| m.key.as_str());
            own.chain(written).chain(sights().iter().map(|s| s.key))
        };
        for one in named {
            if !known().any(|name| name == one.name) {
                let sentence =
                    format!("no sight of the truck and no card is called {:?}", one.name);
                let finding = at(UNKNOWN_NAME, one.span, sentence).help_near(&one.name, known());
                self.push(finding);
            }
        }
    }

    /// Readings are values, and the battery has a voltage.
    fn hold_kinds(&mut self, named: &[Named], cards: &BTreeMap<String, Card>) {
        for one in named {
            let Some(card) = cards.get(&one.name) else {
                continue;
            };
            let finding = match &card.truth {
                Truth::Word { .. } if one.what != ANSWER => {
                    let sentence = format!(
                        "the card {} says a word, and a value is read here",
                        one.name
                    );
                    at(KIND_MISMATCH, one.span, sentence)
                }
                Truth::Value(value) if one.what == BATTERY && value.kind() != Kind::Voltage => {
                    let sentence = format!("the card {} is no voltage", one.name);
                    at(KIND_MISMATCH, one.span, sentence)
                }
                Truth::Value(_) | Truth::Word { .. } => continue,
            };
            self.push(finding);
        }
    }
}

/// Why a truck can't be read if it is like this one: it was met on the way here, or
/// there is no end to be seen.
fn endless(id: &str, above: &[String]) -> Option<String> {
    if let Some(met) = above.iter().position(|name| name == id) {
        let through = above.get(met + 1..).unwrap_or_default();
        let names = listed(through.iter().map(String::as_str));
        return Some(if through.is_empty() {
            format!("the truck {id} is like itself")
        } else {
            format!("the truck {id} is like itself, through {names}")
        });
    }
    (above.len() > LIKES).then(|| {
        let names = listed(above.iter().map(String::as_str));
        format!("more than {LIKES} trucks in a row are each like the next: {names}")
    })
}

/// What ends a circle of likes.
const NO_LIKE: &str = "let one of them say everything itself, without \"like\"";

const READING: &str = "reading";
const ANSWER: &str = "answer";
const BATTERY: &str = "battery";

/// The kind of a value; none of a word.
fn sort(truth: &Truth) -> Option<Kind> {
    match truth {
        Truth::Value(value) => Some(value.kind()),
        Truth::Word { .. } => None,
    }
}

fn said(truth: &Truth) -> String {
    sort(truth).map_or_else(|| "a word".to_owned(), Kind::with_article)
}
