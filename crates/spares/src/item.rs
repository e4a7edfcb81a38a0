//! Items and kits, as the owner describes them.

use crate::amount::Counted;
use plant::evidence::Named;
use std::ops::{Index, Range};

/// An item, by its place in [`Stores::items`].
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct ItemId(pub usize);

/// Everything that is kept aboard.
#[derive(Clone, Debug, Default)]
pub struct Stores {
    /// In the order of the file.
    pub items: Vec<Item>,
    /// In the order of the file.
    pub kits: Vec<Kit>,
}

/// What a thing fits: a part or gauge, and the word that says what of it; "" for the whole.
pub type Fit = (Named, String);

/// A thing that is kept aboard.
#[derive(Clone, Debug)]
pub struct Item {
    /// The owner's name for it.
    pub name: String,
    /// What it is, in his words; its name if he says no more.
    pub what: String,
    /// Its part number.
    pub number: Option<String>,
    /// Other part numbers that serve as well.
    pub equivalents: Vec<String>,
    /// All of these, without what people put into a number or leave out.
    pub alike: Vec<String>,
    /// Who has it.
    pub supplier: Option<String>,
    /// Days from order to aboard [d].
    pub lead: Option<f64>,
    /// Where it is stowed.
    pub stowed: Option<String>,
    /// What it is counted in; every amount below is in that.
    pub counted: Counted,
    /// So much is aboard, by the text.
    pub aboard: f64,
    /// On this day, if he says when [days since 1970]; what was moved before that is in it.
    pub counted_on: Option<i64>,
    /// Keep at least so much.
    pub keep: f64,
    /// Months after which it is no longer good.
    pub shelf_life: Option<f64>,
    /// The day to use what is aboard by [days since 1970]: told, or from when it was bought.
    pub good_until: Option<i64>,
    /// It is bought by so much.
    pub pack: f64,
    /// Mass of a pack [kg].
    pub weight: Option<f64>,
    /// Cost of a pack [EUR].
    pub cost: Option<f64>,
    /// Room that a pack takes [m³].
    pub volume: Option<f64>,
    /// So much is used by one job, if it is told.
    pub per_use: Option<f64>,
    /// A tool: needed for the job and not used up.
    pub tool: bool,
    /// What uses it.
    pub fits: Vec<Fit>,
    /// Where in the file it is described [byte offsets].
    pub place: Range<usize>,
}

impl Item {
    /// What one job takes: as told, else one piece; of what is measured nobody knows.
    pub fn each(&self) -> Option<f64> {
        self.per_use.or_else(|| (self.counted == Counted::Pieces).then_some(1.0))
    }

    /// Do the two serve as well as each other, by a part number that both have or one names?
    pub fn serves_as(&self, other: &Item) -> bool {
        self.alike.iter().any(|number| other.alike.contains(number))
    }
}

/// A part number without what people put in or leave out.
pub(crate) fn plain(number: &str) -> String {
    number.chars().filter(|letter| letter.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Items that one job takes together.
#[derive(Clone, Debug)]
pub struct Kit {
    /// The owner's name for it.
    pub name: String,
    /// What it is, in his words.
    pub what: String,
    /// What is in it, and how much.
    pub contents: Vec<(ItemId, f64)>,
    /// What uses it.
    pub fits: Vec<Fit>,
    /// Where in the file it is described [byte offsets].
    pub place: Range<usize>,
}

/// What a name means.
#[derive(Copy, Clone, Debug)]
pub enum Meant<'a> {
    /// An item.
    Item(ItemId),
    /// A kit.
    Kit(&'a Kit),
}

impl Stores {
    /// Every item.
    pub fn ids(&self) -> impl Iterator<Item = ItemId> + use<> {
        (0..self.items.len()).map(ItemId)
    }

    /// The item or kit of that name.
    pub fn called(&self, name: &str) -> Option<Meant<'_>> {
        let wanted = plant::names::folded(name);
        let item = self.items.iter().position(|item| item.name == wanted).map(|place| Meant::Item(ItemId(place)));
        item.or_else(|| self.kits.iter().find(|kit| kit.name == wanted).map(Meant::Kit))
    }

    /// The names of all items and kits.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.items.iter().map(|item| item.name.as_str()).chain(self.kits.iter().map(|kit| kit.name.as_str()))
    }
}

impl Index<ItemId> for Stores {
    type Output = Item;
    fn index(&self, id: ItemId) -> &Item {
        &self.items[id.0]
    }
}
