//! Tread by the rule that the person chose.
//!
//! Invariant: which vehicles a rule covers is part of the rule.

use uom::si::f64::Length;

use super::SUBJECT;
use crate::calc::amount::Amount;
use crate::calc::error::Snag;
use crate::calc::given::{Inputs, Outcome};
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// 1/32 in (exact).
const THIRTY_SECOND_M: f64 = 0.0254 / 32.0;

/// How far the tread of two tyres on one axle may differ in France: 5 mm.
///
/// # Source
/// Decree text of 2019, JORF (read in a public copy).
pub const PAIR_APART_M: f64 = 0.005;

/// Points round the tyre that the French rule looks at.
const FRENCH_POINTS: usize = 4;

/// A rule for tread with what it needs to know.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TreadRule {
    /// 49 CFR 393.75(b): 4/32 in on front wheels of bus, truck or tractor.
    UsFront,
    /// 49 CFR 393.75(c): 2/32 in on others.
    UsOther,
    /// Directive 89/459/EEC: 1.6 mm on M1, N1, O1, O2.
    EuLight,
    /// France, decree of 2019, other vehicles: 1 mm at all but at most one of four
    /// points.
    France,
    /// Great Britain, over 3.5 t: 1.0 mm.
    GreatBritain,
    /// What the sheet says.
    Sheet(Length),
}

impl TreadRule {
    /// The least depth that it allows.
    ///
    /// # Source
    /// 49 CFR 393.75 (quoted in public copies); Directive 89/459/EEC; France: JORF
    /// text of 2019 (read in a public copy); Great Britain: Construction and Use
    /// Regulations, reg. 27 (from memory, very sure).
    pub fn limit(self) -> Length {
        match self {
            Self::UsFront => Length::of_si(4.0 * THIRTY_SECOND_M),
            Self::UsOther => Length::of_si(2.0 * THIRTY_SECOND_M),
            Self::EuLight => Length::of_si(0.0016),
            Self::France | Self::GreatBritain => Length::of_si(0.001),
            Self::Sheet(limit) => limit,
        }
    }
}

/// Tread as a rule sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tread {
    /// The least depth that was read.
    pub least: Length,
    /// The depth that the rule goes by: the least, in France the second least.
    pub decides: Length,
    /// That depth less the limit.
    pub margin: Length,
}

/// Depths against a rule.
///
/// # Errors
/// `depth`: none at all, or in France other than four.
pub fn judged_tread(
    rule: TreadRule,
    depths: impl IntoIterator<Item = Length>,
) -> Result<Tread, Snag> {
    let far = Length::of_si(f64::INFINITY);
    let (mut least, mut second, mut count) = (far, far, 0);
    for depth in depths {
        count += 1;
        if depth < least {
            second = least;
            least = depth;
        } else if depth < second {
            second = depth;
        }
    }
    if count == 0 {
        return Err(Snag::new("depth", "no depth was read"));
    }
    if rule == TreadRule::France && count != FRENCH_POINTS {
        return Err(Snag::new(
            "depth",
            "this rule looks at four points round the tyre",
        ));
    }
    let decides = if rule == TreadRule::France {
        second
    } else {
        least
    };
    Ok(Tread {
        least,
        decides,
        margin: decides - rule.limit(),
    })
}

/// Tread against a rule.
pub(in crate::calc) static TREAD: Sum = Sum {
    name: "tread",
    subject: SUBJECT,
    title: "tread of one tyre against the rule chosen",
    formula: &[
        "margin = deciding depth − limit",
        "deciding: the least; by france_2019 the second least of four",
        "us_393_75: front 4/32 in, others 2/32 in · eu_89_459: 1.6 mm · france_2019, great_britain: 1 mm",
    ],
    source: "49 CFR 393.75(b), (c); Directive 89/459/EEC; French decree of 2019; Great Britain: Construction and Use reg. 27 (from memory, very sure)",
    range: "In a major groove, not on bars, humps or fillets. us_393_75 asks for the axle; front is that of a bus, truck or tractor. \
            eu_89_459 covers M1, N1, O1, O2 alone: trucks go by national rules. \
            great_britain is for vehicles over 3.5 t. What a rule does not ask for is not looked at. \
            The least of several, and the second least in France, has a corner where depths are alike: \
            where those that could decide are closer than their uncertainty, look at the trials.",
    inputs: &[
        Input::word(
            "rule",
            "rule",
            &[
                "us_393_75",
                "eu_89_459",
                "france_2019",
                "great_britain",
                "sheet",
            ],
        ),
        Input::one("depth", "depths round one tyre", Kind::TreadDepth)
            .several(1, 16)
            .least(0.0, "a groove is no less deep than flat"),
        Input::word("axle", "axle, for us_393_75", &["front", "other"]).optional(),
        Input::word(
            "category",
            "vehicle category, for eu_89_459",
            &["m1", "m2", "m3", "n1", "n2", "n3", "o1", "o2", "o3", "o4"],
        )
        .optional(),
        Input::one("sheet_limit", "least by the sheet", Kind::TreadDepth)
            .optional()
            .least(0.0, "a limit is a size"),
    ],
    outputs: &[
        Output::of("margin", "deciding depth over the limit", Kind::TreadDepth),
        Output::of("least", "least depth", Kind::TreadDepth),
        Output::of("decides", "depth that the rule goes by", Kind::TreadDepth),
        Output::of("limit", "least that the rule allows", Kind::TreadDepth),
    ],
    example: &[
        ("rule", "us_393_75"),
        ("axle", "other"),
        ("depth", "9/32 in, 8/32 in, 8/32 in"),
    ],
    picture: None,
    work: tread,
};

fn tread(given: &Inputs<'_>, out: &mut Outcome) -> Result<(), Snag> {
    let rule = chosen(given)?;
    let tread = judged_tread(rule, given.all::<Length>(1))?;
    out.set(0, tread.margin);
    out.set(1, tread.least);
    out.set(2, tread.decides);
    out.set(3, rule.limit());
    Ok(())
}

fn chosen(given: &Inputs<'_>) -> Result<TreadRule, Snag> {
    match given.word(0) {
        "us_393_75" => match given.word(2) {
            "front" => Ok(TreadRule::UsFront),
            "other" => Ok(TreadRule::UsOther),
            _ => Err(Snag::new(
                "axle",
                "us_393_75 asks for more depth in front; say front or other",
            )),
        },
        "eu_89_459" => match given.word(3) {
            "m1" | "n1" | "o1" | "o2" => Ok(TreadRule::EuLight),
            "" => Err(Snag::new(
                "category",
                "eu_89_459 covers m1, n1, o1, o2 alone; say which it is",
            )),
            _ => Err(Snag::new(
                "category",
                "it is not covered by eu_89_459, use the national rule",
            )),
        },
        "france_2019" => Ok(TreadRule::France),
        "great_britain" => Ok(TreadRule::GreatBritain),
        _ => given.maybe(4).map(TreadRule::Sheet).ok_or(Snag::new(
            "sheet_limit",
            "by the sheet, its least is needed",
        )),
    }
}

/// Tread of two tyres on one axle.
pub(in crate::calc) static TREAD_PAIR: Sum = Sum {
    name: "tread_pair",
    subject: SUBJECT,
    title: "tread of two tyres on one axle against each other",
    formula: &["apart = left − right", "margins = limit ∓ apart"],
    source: "French decree of 2019: 5 mm (read in a public copy); another limit is the sheet's",
    range: "The depth that stands for each tyre, in the same kind of groove. There is a margin each way; both must hold.",
    inputs: &[
        Input::one("left", "left depth", Kind::TreadDepth)
            .least(0.0, "a groove is no less deep than flat")
            .shared('A'),
        Input::one("right", "right depth", Kind::TreadDepth)
            .least(0.0, "a groove is no less deep than flat")
            .shared('A'),
        Input::one(
            "limit",
            "most that they may differ (5 mm if left out)",
            Kind::TreadDepth,
        )
        .optional()
        .least(0.0, "a limit is a size"),
    ],
    outputs: &[
        Output::of("apart", "left less right", Kind::TreadDepth),
        Output::of(
            "left_margin",
            "how much deeper the left may be",
            Kind::TreadDepth,
        ),
        Output::of(
            "right_margin",
            "how much deeper the right may be",
            Kind::TreadDepth,
        ),
    ],
    example: &[("left", "12.0 mm"), ("right", "10.5 mm")],
    picture: None,
    work: |given, out| {
        let apart = given.get::<Length>(0) - given.get::<Length>(1);
        let limit = given.maybe(2);
        let limit = limit.unwrap_or_else(|| Length::of_si(PAIR_APART_M));
        out.set(0, apart);
        out.set(1, limit - apart);
        out.set(2, limit + apart);
        Ok(())
    },
};
