//! A kind that no file here knows: the owner describes it in the vessel's own text, and it is then a kind like any other.
//!
//! What it is made of is read by `plant`; here it becomes a [`Kind`] with one law for all such kinds, which reads from the
//! list of its ways what it has to say. A description is read once and lives as long as the program, and so do its kinds:
//! each is given away for good (leaked), for everything that speaks of a kind holds it for ever.

use crate::kind::*;
use crate::laws::Laws;
use measure::figure::Spread;
use measure::quantity::Quantity;

pub use law::OwnLaw;
use law::OwnLawWay;

mod law;

/// A kind as the owner described it.
#[derive(Clone, Debug)]
pub struct OwnKind {
    /// The word in the vessel file.
    pub name: String,
    /// The words on a page.
    pub title: String,
    /// The circuit its trouble is counted under.
    pub circuit: Circuit,
    /// Ways through it, at most [`crate::laws::PASSAGES`].
    pub ways: Vec<OwnWay>,
    /// Ways it fails.
    pub causes: Vec<OwnCause>,
    /// Checks that can be made on it.
    pub checks: Vec<OwnCheck>,
}

/// One way through it.
#[derive(Clone, Debug)]
pub struct OwnWay {
    /// Its name.
    pub name: String,
    /// The circuits it can belong to.
    pub carries: Vec<Circuit>,
    /// Where it begins.
    pub from: Opening,
    /// Where it ends.
    pub to: Opening,
    /// What becomes of its contents: "is cooled in".
    pub does: String,
    /// Flow at which the drop is told [kg/s].
    pub flow: OwnFigure,
    /// Pressure drop at that flow [Pa].
    pub drop: OwnFigure,
    /// Heat into what flows, as long as it flows [W].
    pub heat: Option<OwnFigure>,
    /// Conductance [W/K] to what lies beyond.
    pub conductance: Option<(OwnFigure, Outside)>,
}

/// An end of a way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Opening {
    /// A port of this name.
    Port(String),
    /// The sea.
    Sea,
    /// The open air.
    Air,
}

/// What a way passes heat to.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Outside {
    /// The air of the engine space.
    Room,
    /// The sea.
    Sea,
    /// Another way of the same part, by place.
    Way(usize),
}

/// A value with its spread [SI].
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct OwnFigure {
    /// The value.
    pub value: f64,
    /// How far the truth may lie from it.
    pub spread: Spread,
}

/// A way it fails.
#[derive(Clone, Debug)]
pub struct OwnCause {
    /// Its name.
    pub name: String,
    /// One clause for a page.
    pub title: String,
    /// What it moves.
    pub moves: Vec<OwnMove>,
    /// How bad it is when it is noticed.
    pub severity: Severity,
    /// Words it makes people say.
    pub says: Vec<OwnSays>,
    /// Key of its rate.
    pub rate: &'static str,
    /// What cures it.
    pub remedy: String,
}

/// A word that a cause makes people say.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnSays {
    /// Kind of part it is said of; empty for its own.
    pub kind: String,
    /// The word.
    pub word: String,
    /// Chance that it is there to be noticed [1].
    pub chance: f64,
    /// Chance that it is said of its own kind though nothing is off [1].
    pub otherwise: f64,
}

/// What a cause moves.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMove {
    /// Kind of part; empty for its own.
    pub kind: &'static str,
    /// Its parameter.
    pub parameter: String,
    /// How.
    pub by: By,
}

/// A check on it.
#[derive(Clone, Debug)]
pub struct OwnCheck {
    /// Its name.
    pub name: String,
    /// One line in the imperative.
    pub title: String,
    /// Minutes it takes.
    pub minutes: f64,
    /// State of the engine it needs.
    pub state: State,
    /// Tools.
    pub tool: Option<String>,
    /// The line at the step that bites.
    pub caution: String,
    /// Causes it finds.
    pub finds: Vec<String>,
    /// Key of its power.
    pub power: &'static str,
}

/// Source that figures of such a kind name.
pub const TOLD: &str = "the owner's own description";
/// A word said though nothing is off where nothing else is told, and one not said though it is so [1]; from memory.
pub const FALSE_SAID: f64 = 0.03;
const MISSED: f64 = 0.2;

/// A text that lives as long as the program.
fn kept(text: &str) -> &'static str {
    Box::leak(text.to_string().into_boxed_str())
}

fn kept_list<T>(list: impl IntoIterator<Item = T>) -> &'static [T] {
    Box::leak(list.into_iter().collect::<Vec<T>>().into_boxed_slice())
}

/// What a parameter of a way is of.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Of {
    /// Rated flow.
    Flow,
    /// Drop at rated flow.
    Drop,
    /// Heat.
    Heat,
    /// Conductance.
    Conductance,
}

impl Of {
    /// Every one, in the order of the table, with its word.
    pub const ALL: [(&'static str, Of); 4] =
        [("flow", Of::Flow), ("drop", Of::Drop), ("heat", Of::Heat), ("conductance", Of::Conductance)];

    /// A bare parameter of this sort, within which a file may tell it.
    pub fn parameter(self, name: &'static str) -> Parameter {
        let (title, quantity, range, spread) = match self {
            Of::Flow => ("Flow at which its drop is told [kg/s].", Quantity::MassFlow, (1e-4, 200.0), Spread::Exact),
            Of::Drop => {
                ("Pressure drop at that flow [Pa].", Quantity::PressureDifference, (10.0, 1e6), Spread::Factor(2.0))
            }
            Of::Heat => ("Heat into what flows [W].", Quantity::Power, (-1e6, 1e6), Spread::Plus(0.0)),
            Of::Conductance => (
                "Conductance to what lies beyond [W/K].",
                Quantity::ThermalConductance,
                (1e-2, 1e6),
                Spread::Factor(2.0),
            ),
        };
        Parameter {
            name,
            title,
            quantity,
            range,
            typical: Typical { value: 0.0, power: 0.0, speed: 0.0, in_coolant: 1.0, volts: 0.0, of_swept: 0.0 },
            spread,
            once_told: OnceTold::Near,
            each: false,
            source: TOLD,
        }
    }
}

impl OwnKind {
    /// Name of a way's parameter: "rated_drop", or "rated_water_drop" where there are several ways.
    pub fn parameter(&self, way: usize, of: Of) -> String {
        let word = Of::ALL.iter().find(|(_, each)| *each == of).map_or("", |(word, _)| word);
        let way = if self.ways.len() > 1 { format!("{}_", self.ways[way].name) } else { String::new() };
        match of {
            Of::Flow | Of::Drop => format!("rated_{way}{word}"),
            Of::Heat | Of::Conductance => format!("{way}{word}"),
        }
    }

    /// The figure that a way has of this, if it has one.
    fn figure(way: &OwnWay, of: Of) -> Option<OwnFigure> {
        match of {
            Of::Flow => Some(way.flow),
            Of::Drop => Some(way.drop),
            Of::Heat => way.heat,
            Of::Conductance => way.conductance.map(|(figure, _)| figure),
        }
    }

    /// Names of its parameters, in the order of its table.
    pub fn parameters(&self) -> Vec<String> {
        self.table().into_iter().map(|(way, of, _)| self.parameter(way, of)).collect()
    }

    fn table(&self) -> Vec<(usize, Of, OwnFigure)> {
        let ways = self.ways.iter().enumerate();
        ways.flat_map(|(k, way)| Of::ALL.iter().filter_map(move |(_, of)| Some((k, *of, Self::figure(way, *of)?))))
            .collect()
    }

    /// Makes it a kind, for good.
    pub fn kind(&self) -> &'static Kind {
        let table = self.table();
        let place = |way: usize, of: Of| table.iter().position(|(k, each, _)| (*k, *each) == (way, of));
        let ways = self.ways.iter().enumerate().map(|(k, way)| OwnLawWay {
            flow: place(k, Of::Flow).unwrap_or_default(),
            drop: place(k, Of::Drop).unwrap_or_default(),
            heat: place(k, Of::Heat),
            passes: place(k, Of::Conductance).zip(way.conductance.map(|(_, to)| to)),
        });
        let law: &'static OwnLaw = Box::leak(Box::new(OwnLaw { ways: ways.collect() }));
        let parameters = table.iter().map(|(k, of, figure)| {
            let bare = of.parameter(kept(&self.parameter(*k, *of)));
            let typical = Typical { value: figure.value, ..bare.typical };
            Parameter { typical, spread: figure.spread, ..bare }
        });
        let end = |opening: &Opening| match opening {
            Opening::Port(name) => End::Port(kept(name)),
            Opening::Sea => End::Sea,
            Opening::Air => End::Air,
        };
        let passages = self.ways.iter().map(|way| Passage {
            name: kept(&way.name),
            carries: kept_list(way.carries.iter().copied()),
            from: end(&way.from),
            to: end(&way.to),
            does: kept(&way.does),
        });
        Box::leak(Box::new(Kind {
            name: kept(&self.name),
            title: kept(&self.title),
            called: &[],
            places: &[],
            variant_of: None,
            circuit: self.circuit,
            symbol: self.symbol(),
            passages: kept_list(passages),
            parameters: kept_list(parameters),
            unknowns: &[],
            links: if self.ways.iter().any(to_room) { law::SPACE } else { &[] },
            laws: Laws::own(law),
            causes: kept_list(self.causes.iter().map(cause)),
            words: kept_list(self.words()),
            checks: kept_list(self.checks.iter().map(check)),
            walls: &[],
            limits: &[],
            margins: &[],
        }))
    }

    /// The words its causes make people say of it.
    fn words(&self) -> Vec<Word> {
        let mut words: Vec<Word> = Vec::new();
        for says in self.causes.iter().flat_map(|cause| &cause.says) {
            if says.kind.is_empty() && words.iter().all(|word| word.name != says.word) {
                let name = kept(&says.word);
                let word = Word {
                    name,
                    of: crate::kind::Of::Cause,
                    false_said: says.otherwise,
                    miss: MISSED,
                    group: name,
                    danger: None,
                    source: TOLD,
                };
                words.push(word);
            }
        }
        words
    }

    /// A plain box, its ways one below the other.
    fn symbol(&self) -> Symbol {
        let rows = self.ways.len().max(1);
        let (width, row) = (48.0, 24.0);
        let height = row * rows as f64 + 8.0;
        let at = |k: usize| 16.0 + row * k as f64;
        let ways = self.ways.iter().enumerate().map(|(k, way)| Way {
            enter: matches!(way.from, Opening::Port(_)).then_some((0.0, at(k))),
            leave: matches!(way.to, Opening::Port(_)).then_some((width, at(k))),
        });
        Symbol {
            size: (width, height),
            strokes: kept_list([Stroke::Outline(kept(&format!("M0 0H{width}V{height}H0Z")))]),
            ways: kept_list(ways),
            letters: kept(&initials(&self.title)),
            ..Symbol::BLANK
        }
    }
}

/// Does a way give heat to the engine space, or take it from there?
fn to_room(way: &OwnWay) -> bool {
    matches!(way.conductance, Some((_, Outside::Room)))
}

/// The first letters of the first two words.
fn initials(title: &str) -> String {
    title.split_whitespace().filter_map(|word| word.chars().next()).take(2).flat_map(char::to_uppercase).collect()
}

fn cause(own: &OwnCause) -> Cause {
    Cause {
        name: kept(&own.name),
        title: kept(&own.title),
        moves: kept_list(own.moves.iter().map(|each| Move {
            on: if each.kind.is_empty() { Whose::Own } else { Whose::Kind(each.kind) },
            parameter: kept(&each.parameter),
            by: each.by,
        })),
        severity: own.severity,
        says: kept_list(own.says.iter().map(|says| Says {
            kind: kept(&says.kind),
            word: kept(&says.word),
            chance: says.chance,
        })),
        misreads: None,
        rate: own.rate,
        remedy: kept(&own.remedy),
    }
}

fn check(own: &OwnCheck) -> Check {
    Check {
        name: kept(&own.name),
        title: kept(&own.title),
        minutes: own.minutes,
        state: own.state,
        tool: own.tool.as_deref().map(kept),
        caution: kept(&own.caution),
        finds: kept_list(own.finds.iter().map(|name| Find { cause: kept(name), power: own.power })),
    }
}
