//! Whether the inputs of a working suit its sum, each told at its own place.

use super::{Given, Part, Raw};
use crate::calc::{CalcError, Input, Offer, Shape, Sum, Takes};
use crate::document::code::{KIND_MISMATCH, OUT_OF_RANGE};
use crate::document::measure::Kinds;
use crate::document::reader::{Reader, at};
use crate::procedure::{SheetNeed, WorkInput};
use crate::quantity::{Kind, System};

impl Reader {
    /// Every input is there, in the number and of the kind that the sum takes.
    pub(super) fn fits(&mut self, raw: &Raw<'_>, kinds: &Kinds) -> Option<()> {
        let mut fits = true;
        for part in &raw.parts {
            let input = raw.sum.inputs.get(part.slot)?;
            fits &= self.part_fits(raw, input, part, kinds).is_some();
        }
        for (slot, input) in raw.sum.inputs.iter().enumerate() {
            let parts: Vec<&Part> = raw.parts.iter().filter(|p| p.slot == slot).collect();
            fits &= self.count_fits(raw, input, &parts).is_some();
        }
        fits &= self.none_missing(raw).is_some();
        if fits {
            for part in &raw.parts {
                fits &= self.is_like(raw, part, kinds).is_some();
            }
        }
        fits.then_some(())
    }

    /// A series goes where the sum takes one, and nothing else does; a value is of the
    /// kind that is taken.
    fn part_fits(
        &mut self,
        raw: &Raw<'_>,
        input: &Input,
        part: &Part,
        kinds: &Kinds,
    ) -> Option<()> {
        let name = raw.sum.name;
        let is_series = matches!(part.given, Given::Known(WorkInput::Series(_)));
        let sentence = match (is_series, input.is_series()) {
            (true, false) => format!(
                "the sum {name} takes {} for {}, not a whole series",
                number(input),
                input.key
            ),
            (false, true) => format!(
                "the sum {name} takes all points of a series (series:READING) for {}",
                input.key
            ),
            (true, true) | (false, false) => {
                let offer = offer(&part.given, kinds);
                let Some(offer) = offer else {
                    self.spoil();
                    return None;
                };
                if suits(input, &offer) {
                    return Some(());
                }
                format!(
                    "the sum {name} can't use {} for {}",
                    found(&offer),
                    input.key
                )
            }
        };
        self.push(at(KIND_MISMATCH, part.span, sentence).help(taken(raw.sum, input)));
        None
    }

    fn count_fits(&mut self, raw: &Raw<'_>, input: &Input, parts: &[&Part]) -> Option<()> {
        // How many points a series has is known when it is read.
        let most = match input.shape {
            Shape::Series { .. } => 1,
            Shape::One | Shape::Optional | Shape::Several { .. } => input.count().1,
        };
        let count = parts.len();
        let (place, sentence) = if let Some(over) = parts.get(most) {
            let what = match (input.is_series(), most) {
                (true, _) => "one series of".to_owned(),
                (false, 1) => "one value of".to_owned(),
                (false, most) => format!("at most {most} values of"),
            };
            (
                over.span,
                format!("takes {what} {}; {count} are given", input.key),
            )
        } else if let Shape::Several { least, .. } = input.shape
            && let Some(first) = parts.first()
            && count < least
        {
            let given = if count == 1 {
                "1 is"
            } else {
                &format!("{count} are")
            };
            let needs = format!("needs {least} values of {}; {given} given", input.key);
            (first.whole, needs)
        } else {
            return Some(());
        };
        let sentence = format!("the sum {} {sentence}", raw.sum.name);
        self.push(at(KIND_MISMATCH, place, sentence).help(taken(raw.sum, input)));
        None
    }

    /// All that is missing, at once.
    fn none_missing(&mut self, raw: &Raw<'_>) -> Option<()> {
        let given = |slot: usize| raw.parts.iter().any(|part| part.slot == slot);
        let inputs = raw.sum.inputs.iter().enumerate();
        let missing: Vec<&Input> = inputs
            .filter(|(slot, input)| input.count().0 > 0 && !given(*slot))
            .map(|(_, input)| input)
            .collect();
        if missing.is_empty() {
            return Some(());
        }
        let keys: Vec<&str> = missing.iter().map(|input| input.key).collect();
        let keys = match keys.as_slice() {
            [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
            _ => keys.concat(),
        };
        let sentence = format!("the sum {} needs {keys} too", raw.sum.name);
        let mut finding = at(KIND_MISMATCH, raw.from, sentence);
        for input in missing {
            let what = accepted(raw.sum, input);
            finding = finding.help(format!("add \"{}\": {what}", input.key));
        }
        self.push(finding);
        None
    }

    /// Of the kind of the first of the same input, and of the input that it must be like.
    fn is_like(&mut self, raw: &Raw<'_>, part: &Part, kinds: &Kinds) -> Option<()> {
        let input = raw.sum.inputs.get(part.slot)?;
        let own = offer(&part.given, kinds)?;
        let like = match input.takes {
            Takes::Like(first) => first,
            Takes::Is(_) | Takes::AnyOf(_) => part.slot,
            Takes::Word(_) => return Some(()),
        };
        let other = raw.parts.iter().find(|p| p.slot == like)?;
        let other = offer(&other.given, kinds)?;
        if own.kinds.iter().any(|kind| other.kinds.contains(kind)) {
            return Some(());
        }
        let first = raw.sum.inputs.get(like).map_or("", |i| i.key);
        let (sentence, help) = if like == part.slot {
            (
                format!(
                    "{first} is {} here; its first value is {}",
                    found(&own),
                    found(&other)
                ),
                taken(raw.sum, input),
            )
        } else {
            (
                format!(
                    "the sum {} can't use {} for {}; {first} is {}",
                    raw.sum.name,
                    found(&own),
                    input.key,
                    found(&other)
                ),
                format!("{} takes the same kind as {first}", input.key),
            )
        };
        self.push(at(KIND_MISMATCH, part.span, sentence).help(help));
        None
    }

    /// Values that are written in the document lie where the sum takes them.
    pub(super) fn in_bounds(&mut self, raw: &Raw<'_>, settled: &[Option<Kind>]) -> Option<()> {
        let mut fits = true;
        for part in &raw.parts {
            let input = raw.sum.inputs.get(part.slot)?;
            let Given::Literal(may_be) = &part.given else {
                continue;
            };
            let kind = settled.get(part.slot).copied().flatten()?;
            let value = *may_be.iter().find(|q| q.kind() == kind)?;
            let is_short = input.least.is_some_and(|least| value.si() < least);
            if !is_short && input.most.is_none_or(|most| value.si() <= most) {
                continue;
            }
            let (least, most) = input.bounds(kind);
            let error = CalcError::Range {
                sum: raw.sum.name,
                input: input.key,
                found: value,
                least,
                most,
                why: input.why,
            };
            self.push(at(OUT_OF_RANGE, part.span, error.to_string()));
            fits = false;
        }
        fits.then_some(())
    }
}

/// How many values an input takes: "one value", "4 to 8 values".
fn number(input: &Input) -> String {
    match input.count() {
        (_, 1) => "one value".to_owned(),
        (least, most) if least == most => format!("{least} values"),
        (least, most) => format!("{least} to {most} values"),
    }
}

/// What an input takes, as a line of help.
fn taken(sum: &Sum, input: &Input) -> String {
    format!("{} takes {}", input.key, accepted(sum, input))
}

/// What an input takes: how many, kind, bounds.
fn accepted(sum: &Sum, input: &Input) -> String {
    let what = match input.takes {
        Takes::Like(first) => {
            let first = sum.inputs.get(first).map_or("", |i| i.key);
            let like = format!("the same kind as {first}");
            input
                .accepted()
                .replace("the same kind as the first", &like)
        }
        Takes::Is(_) | Takes::AnyOf(_) | Takes::Word(_) => input.accepted(),
    };
    let Takes::Is(kind) = input.takes else {
        return what;
    };
    let shown = |value: crate::quantity::Quantity| value.show_plain(kind.shown(System::Metric));
    match input.bounds(kind) {
        (Some(least), Some(most)) => format!("{what}, {} to {}", shown(least), shown(most)),
        (Some(least), None) => format!("{what}, {} or more", shown(least)),
        (None, Some(most)) => format!("{what}, {} or less", shown(most)),
        (None, None) => what,
    }
}

/// What is offered, for people.
fn found(offer: &Offer) -> String {
    match (offer.kinds.first(), offer.words.as_slice()) {
        (Some(kind), _) => kind.with_article(),
        (None, [word]) => format!("the word {word}"),
        (None, words) => format!("the words {}", words.join(", ")),
    }
}

/// Whether an input can be of a kind, or a word, that is offered; what it must be like
/// is not looked at.
fn suits(input: &Input, offer: &Offer) -> bool {
    match input.takes {
        Takes::Is(kind) => offer.kinds.contains(&kind),
        Takes::AnyOf([]) | Takes::Like(_) => !offer.kinds.is_empty(),
        Takes::AnyOf(kinds) => offer.kinds.iter().any(|kind| kinds.contains(kind)),
        Takes::Word(words) => {
            let known = |word: &String| words.contains(&word.as_str());
            !offer.words.is_empty() && offer.words.iter().all(known)
        }
    }
}

/// What stands ready for each input of the sum; `None` if a kind is not known.
pub(super) fn offers(raw: &Raw<'_>, kinds: &Kinds) -> Option<Vec<Option<Offer>>> {
    let mut offers: Vec<Option<Offer>> = raw.sum.inputs.iter().map(|_| None).collect();
    for part in &raw.parts {
        let own = offer(&part.given, kinds)?;
        let place = offers.get_mut(part.slot)?;
        *place = Some(match place.take() {
            None => own,
            Some(before) => both(before, &own),
        });
    }
    Some(offers)
}

fn offer(given: &Given, kinds: &Kinds) -> Option<Offer> {
    let (may_be, words, count) = match given {
        Given::Literal(may_be) => (
            may_be.iter().map(|q| q.kind()).collect(),
            Vec::new(),
            Some(1),
        ),
        Given::Known(WorkInput::Word(word)) => (Vec::new(), vec![word.clone()], Some(1)),
        Given::Known(WorkInput::Series(v)) => (vec![*kinds.values.get(v)?], Vec::new(), None),
        Given::Known(WorkInput::Value(v)) => (vec![*kinds.values.get(v)?], Vec::new(), Some(1)),
        Given::Known(WorkInput::Literal(q)) => (vec![q.kind()], Vec::new(), Some(1)),
        Given::Known(WorkInput::Sheet(key)) => match kinds.sheet.get(key)? {
            SheetNeed::Quantity(kind) => (vec![*kind], Vec::new(), Some(1)),
            SheetNeed::Word(words) => (Vec::new(), words.clone(), Some(1)),
            SheetNeed::Text => return None,
        },
    };
    Some(Offer {
        kinds: may_be,
        words,
        count,
    })
}

/// Two parts of one input: kinds that both may be.
fn both(first: Offer, second: &Offer) -> Offer {
    let more = first.count.zip(second.count).map(|(a, b)| a + b);
    Offer {
        kinds: first
            .kinds
            .into_iter()
            .filter(|k| second.kinds.contains(k))
            .collect(),
        words: first.words,
        count: more,
    }
}
