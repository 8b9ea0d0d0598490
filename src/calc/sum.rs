//! What the registry says of a sum: its inputs and results with their kinds, its
//! formula, source and range.
//!
//! Invariant: an input that is *like* another names one before it.

use super::error::{CalcError, Snag, called};
use super::given::{Inputs, Outcome};
use crate::quantity::{Kind, Measured, Quantity, System, Unit};

/// What an input may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Takes {
    /// A value of this kind.
    Is(Kind),
    /// A value of one of these kinds; of any kind if there are none.
    AnyOf(&'static [Kind]),
    /// A value of the kind of an earlier input.
    Like(usize),
    /// One of these words.
    Word(&'static [&'static str]),
}

/// How many values an input is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// One.
    One,
    /// One or none.
    Optional,
    /// So many, in an order that the title tells.
    Several {
        /// At least.
        least: usize,
        /// At most.
        most: usize,
    },
    /// All points of a watch, each with its instant; at least so many.
    Series {
        /// At least.
        least: usize,
    },
}

/// What a result is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gives {
    /// A value of this kind.
    Is(Kind),
    /// A value of the kind of an input.
    Like(usize),
    /// A value of the kind of a difference of two of an input.
    ChangeOf(usize),
    /// One of these texts.
    Word(&'static [&'static str]),
}

/// One input of a sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// Its name in documents and on the command line: `[a-z][a-z0-9_]*`.
    pub key: &'static str,
    /// What people read.
    pub title: &'static str,
    /// What it may be.
    pub takes: Takes,
    /// How many values it is.
    pub shape: Shape,
    /// The least that is taken, in SI.
    pub least: Option<f64>,
    /// The most that is taken, in SI.
    pub most: Option<f64>,
    /// Why not less or more.
    pub why: &'static str,
    /// Inputs with the same mark are read on one instrument by the nature of the sum.
    pub shared: Option<char>,
}

impl Input {
    /// One value of a kind.
    pub const fn one(key: &'static str, title: &'static str, kind: Kind) -> Self {
        Self::taking(key, title, Takes::Is(kind))
    }

    /// One input that takes what is said.
    pub const fn taking(key: &'static str, title: &'static str, takes: Takes) -> Self {
        Self {
            key,
            title,
            takes,
            shape: Shape::One,
            least: None,
            most: None,
            why: "",
            shared: None,
        }
    }

    /// One of some words.
    pub const fn word(
        key: &'static str,
        title: &'static str,
        words: &'static [&'static str],
    ) -> Self {
        Self::taking(key, title, Takes::Word(words))
    }

    /// May be left out.
    #[must_use]
    pub const fn optional(mut self) -> Self {
        self.shape = Shape::Optional;
        self
    }

    /// So many values instead of one.
    #[must_use]
    pub const fn several(mut self, least: usize, most: usize) -> Self {
        self.shape = Shape::Several { least, most };
        self
    }

    /// All points of a watch, at least so many.
    #[must_use]
    pub const fn series(mut self, least: usize) -> Self {
        self.shape = Shape::Series { least };
        self
    }

    /// Not under this, in SI.
    #[must_use]
    pub const fn least(mut self, si: f64, why: &'static str) -> Self {
        self.least = Some(si);
        self.why = why;
        self
    }

    /// Not over this, in SI.
    #[must_use]
    pub const fn most(mut self, si: f64, why: &'static str) -> Self {
        self.most = Some(si);
        self.why = why;
        self
    }

    /// Only from the first to the second, in SI.
    #[must_use]
    pub const fn within(mut self, least: f64, most: f64, why: &'static str) -> Self {
        self.least = Some(least);
        self.most = Some(most);
        self.why = why;
        self
    }

    /// Read on one instrument with the others that carry this mark.
    #[must_use]
    pub const fn shared(mut self, mark: char) -> Self {
        self.shared = Some(mark);
        self
    }

    /// Whether it is all points of a watch.
    pub const fn is_series(&self) -> bool {
        matches!(self.shape, Shape::Series { .. })
    }

    /// How many values it takes, least and most.
    pub const fn count(&self) -> (usize, usize) {
        match self.shape {
            Shape::One => (1, 1),
            Shape::Optional => (0, 1),
            Shape::Several { least, most } => (least, most),
            Shape::Series { least } => (least, usize::MAX),
        }
    }

    /// What it takes, in words: "a length, 0 mm or more".
    pub fn accepted(&self) -> String {
        let what = match self.takes {
            Takes::Is(kind) => called(kind),
            Takes::AnyOf([]) => "a value of any kind".to_owned(),
            Takes::AnyOf(kinds) => {
                let names: Vec<String> = kinds.iter().map(|k| called(*k)).collect();
                names.join(" or ")
            }
            Takes::Like(_) => "the same kind as the first".to_owned(),
            Takes::Word(words) => format!("one of {}", words.join(", ")),
        };
        match self.shape {
            Shape::One => what,
            Shape::Optional => format!("{what}, or nothing"),
            Shape::Several { least, most } if least == most => {
                format!("{least} values, each {what}")
            }
            Shape::Several { least, most } => format!("{least} to {most} values, each {what}"),
            Shape::Series { least } => {
                format!("at least {least} readings with their times, each {what}")
            }
        }
    }

    /// Its bounds as values of a kind.
    pub fn bounds(&self, kind: Kind) -> (Option<Quantity>, Option<Quantity>) {
        let value = |si: Option<f64>| si.and_then(|si| Quantity::from_si(si, kind).ok());
        (value(self.least), value(self.most))
    }
}

/// One result of a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Output {
    /// Its name in documents and data.
    pub key: &'static str,
    /// What people read.
    pub title: &'static str,
    /// What it is.
    pub gives: Gives,
    /// With some inputs there is no such result.
    pub optional: bool,
    /// Shown with its sign and in one unit: no "nose up", no second unit.
    pub plain: bool,
    /// The unit it is shown in, where the kind's usual one is not what people use.
    pub unit: Option<Unit>,
}

impl Output {
    /// A value of a kind.
    pub const fn of(key: &'static str, title: &'static str, kind: Kind) -> Self {
        Self::giving(key, title, Gives::Is(kind))
    }

    /// A result that is what is said.
    pub const fn giving(key: &'static str, title: &'static str, gives: Gives) -> Self {
        Self {
            key,
            title,
            gives,
            optional: false,
            plain: false,
            unit: None,
        }
    }

    /// One of some texts.
    pub const fn word(
        key: &'static str,
        title: &'static str,
        texts: &'static [&'static str],
    ) -> Self {
        Self::giving(key, title, Gives::Word(texts))
    }

    /// With some inputs there is no such result.
    #[must_use]
    pub const fn optional(mut self) -> Self {
        self.optional = true;
        self
    }

    /// Shown with its sign and in one unit: for slopes that are no nose up or down, and
    /// for numbers that are no share.
    #[must_use]
    pub const fn plain(mut self) -> Self {
        self.plain = true;
        self
    }

    /// Shown in this unit.
    #[must_use]
    pub const fn shown_in(mut self, unit: Unit) -> Self {
        self.unit = Some(unit);
        self
    }

    /// The unit that a value of it is shown in.
    pub fn unit_of(&self, kind: Kind, system: System) -> Unit {
        self.unit
            .filter(|unit| unit.fits(kind))
            .unwrap_or_else(|| kind.shown(system))
    }

    /// A value of it in words, in its own unit and, unless it is plain, one more.
    pub fn say(&self, measured: &Measured, system: System, decimals: u8) -> String {
        let value = measured.value();
        let unit = self.unit_of(value.kind(), system);
        let is_sure = measured.u().si() == 0.0;
        match (self.plain, is_sure) {
            (true, true) => value.show(unit, decimals),
            (true, false) => measured.figure_in(unit),
            (false, true) => value.echo(unit, decimals),
            (false, false) => measured.echo_in(unit),
        }
    }
}

/// A small picture that tells more than the numbers of a sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picture {
    /// Side view of the driveline with its angles and the height band.
    Driveline,
    /// A watch with the line through it.
    Trace,
    /// The floor under the wheels.
    Floor,
}

/// What works a sum out: from typed inputs to results.
pub(super) type Work = fn(&Inputs<'_>, &mut Outcome) -> Result<(), Snag>;

/// One sum of the registry.
#[derive(Debug)]
pub struct Sum {
    /// Its name in documents and on the command line.
    pub name: &'static str,
    /// What it is about: the heading it stands under.
    pub subject: &'static str,
    /// What it works out, in a line.
    pub title: &'static str,
    /// The formula as people read it, a line each.
    pub formula: &'static [&'static str],
    /// Where it comes from.
    pub source: &'static str,
    /// Where it holds, and what it leaves out.
    pub range: &'static str,
    /// What goes in.
    pub inputs: &'static [Input],
    /// What comes out, the main result first.
    pub outputs: &'static [Output],
    /// Inputs as people type them, for help and tests.
    pub example: &'static [(&'static str, &'static str)],
    /// A picture that belongs to it.
    pub picture: Option<Picture>,
    /// The sum itself.
    pub(super) work: Work,
}

/// What stands ready for one input before anything is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// Kinds that it may be, the usual one first; none for a word.
    pub kinds: Vec<Kind>,
    /// Words that it may be.
    pub words: Vec<String>,
    /// How many values; `None` for all points of a series.
    pub count: Option<usize>,
}

impl Sum {
    /// Where an input stands.
    pub fn input(&self, key: &str) -> Option<usize> {
        self.inputs.iter().position(|i| i.key == key)
    }

    /// Where a result stands.
    pub fn output(&self, key: &str) -> Option<usize> {
        self.outputs.iter().position(|o| o.key == key)
    }

    /// The kinds that inputs have, settled from what each may be.
    ///
    /// # Errors
    /// When the number of inputs, a kind, a word or the number of values does not fit.
    pub fn settle(&self, offers: &[Option<Offer>]) -> Result<Vec<Option<Kind>>, CalcError> {
        if offers.len() > self.inputs.len() {
            return Err(CalcError::Inputs {
                sum: self.name,
                wanted: self.inputs.len(),
                found: offers.len(),
            });
        }
        let mut settled: Vec<Option<Kind>> = Vec::with_capacity(self.inputs.len());
        for (at, input) in self.inputs.iter().enumerate() {
            let kind = match offers.get(at).and_then(Option::as_ref) {
                Some(offer) => {
                    self.counted(input, offer)?;
                    self.kind(at, offer, offers, &settled)?
                }
                None if input.count().0 > 0 => {
                    return Err(CalcError::Missing {
                        sum: self.name,
                        input: input.key,
                        wanted: input.accepted(),
                    });
                }
                None => None,
            };
            settled.push(kind);
        }
        Ok(settled)
    }

    /// The kind of a result for inputs of these kinds; `None` for a text.
    pub fn result_kind(&self, output: usize, settled: &[Option<Kind>]) -> Option<Kind> {
        match self.outputs.get(output)?.gives {
            Gives::Is(kind) => Some(kind),
            Gives::Like(at) => settled.get(at).copied().flatten(),
            Gives::ChangeOf(at) => settled.get(at).copied().flatten().map(Kind::difference),
            Gives::Word(_) => None,
        }
    }

    fn counted(&self, input: &Input, offer: &Offer) -> Result<(), CalcError> {
        let (least, most) = input.count();
        match offer.count {
            Some(found) if found < least || found > most => Err(CalcError::Points {
                sum: self.name,
                input: input.key,
                wanted: least,
                most,
                found,
            }),
            Some(_) if input.is_series() => Err(CalcError::Instants {
                sum: self.name,
                input: input.key,
            }),
            _ => Ok(()),
        }
    }

    fn kind(
        &self,
        at: usize,
        offer: &Offer,
        offers: &[Option<Offer>],
        settled: &[Option<Kind>],
    ) -> Result<Option<Kind>, CalcError> {
        let Some(input) = self.inputs.get(at) else {
            return Ok(None);
        };
        let wanted: Option<Kind> = match input.takes {
            Takes::Word(words) => return self.spoken(input, words, offer),
            Takes::Is(kind) => offer.kinds.iter().copied().find(|k| *k == kind),
            Takes::Like(first) => {
                let like = settled.get(first).copied().flatten();
                offer.kinds.iter().copied().find(|k| Some(*k) == like)
            }
            Takes::AnyOf(kinds) => {
                let fits = |k: &Kind| kinds.is_empty() || kinds.contains(k);
                let alike = |k: &Kind| self.like(at, offers).all(|o| o.kinds.contains(k));
                let both = offer.kinds.iter().copied().find(|k| fits(k) && alike(k));
                both.or_else(|| offer.kinds.iter().copied().find(fits))
            }
        };
        match wanted {
            Some(kind) => Ok(Some(kind)),
            None => Err(self.foreign(input, offer)),
        }
    }

    /// What is offered for inputs that must be like this one.
    fn like<'a>(
        &'a self,
        at: usize,
        offers: &'a [Option<Offer>],
    ) -> impl Iterator<Item = &'a Offer> {
        self.inputs
            .iter()
            .zip(offers)
            .filter(move |(input, _)| input.takes == Takes::Like(at))
            .filter_map(|(_, offer)| offer.as_ref())
    }

    fn spoken(
        &self,
        input: &Input,
        words: &[&str],
        offer: &Offer,
    ) -> Result<Option<Kind>, CalcError> {
        let known = |word: &String| words.contains(&word.as_str());
        if !offer.words.is_empty() && offer.words.iter().all(known) {
            return Ok(None);
        }
        Err(self.foreign(input, offer))
    }

    fn foreign(&self, input: &Input, offer: &Offer) -> CalcError {
        let found = match (offer.kinds.first(), offer.words.first()) {
            (Some(kind), _) => called(*kind),
            (None, Some(word)) => format!("the word {word}"),
            (None, None) => "nothing".to_owned(),
        };
        CalcError::Kind {
            sum: self.name,
            input: input.key,
            found,
            wanted: input.accepted(),
        }
    }
}
