//! What people keep of her, for documents that are made of it: the due list, work cards, the stores.

use crate::document::{Block, Chapter, Document, Step, Table};
use crate::facts::Facts;
use crate::make::{chapter, document, say, step, strong, table, text};
use crate::words::{count, found};
use drawing::Live;
use plant::evidence::Named;
use plant::plant::Plant;
use spares::order::{self, Order};
use spares::said::{day, used_by, verdict};
use spares::{ItemId, Stock, Stores};
use watch::saying::sentence;
use work::date::DAY;
use work::due::{Due, List, Stands};
use work::task::{Measure, Task};
use work::words as say_work;

/// Height of a row that is written in [mm].
const ROW: f64 = 9.0;
/// Work cards made at a time: more are not taken to the engine room.
const CARDS: usize = 40;
/// Tasks that nobody knows of which are listed.
const UNKNOWN: usize = 12;

/// Her tasks and stores, and how they stand.
#[derive(Clone, Copy)]
pub struct Kept<'a> {
    /// Her service tasks.
    pub tasks: &'a [Task],
    /// What is due.
    pub list: &'a List,
    /// What is described as kept aboard.
    pub stores: &'a Stores,
    /// What of it is there.
    pub stock: &'a Stock,
    /// For which moment [ms since 1970, UTC].
    pub now: i64,
}

impl Kept<'_> {
    fn task(&self, row: &Due) -> &Task {
        &self.tasks[row.task]
    }

    fn rows(&self, of: impl Fn(&Due) -> bool) -> Vec<&Due> {
        self.list.rows.iter().filter(|row| of(row)).collect()
    }

    fn pressing(&self) -> Vec<&Due> {
        self.rows(|row| is_past(row) || say_work::is_soon(row, self.now))
    }
}

fn is_past(row: &Due) -> bool {
    matches!(row.stands, Stands::Past { .. })
}

/// What is due, to be ticked off.
pub fn due(facts: &Facts, kept: &Kept) -> Document {
    let mut blocks = vec![say(say_work::verdict(kept.list, kept.now))];
    let mut list = |title: &str, rows: Vec<&Due>| {
        if rows.is_empty() {
            return;
        }
        let row = |row: &Due| {
            let task = kept.task(row);
            let by = say_work::by(row);
            let when = if by.is_empty() { say_work::stands(row) } else { format!("{}, {by}", say_work::stands(row)) };
            vec![
                task.title.clone(),
                on(facts.plant, task),
                when,
                task.needs.title().into(),
                String::new(),
                String::new(),
            ]
        };
        let rows = rows.into_iter().map(row).collect();
        let head = ["What", "On", "When", "How", "Done on, hours", "By"];
        let table = table(&head, &[2.2, 1.6, 2.0, 1.1, 1.3, 0.7], rows);
        blocks.push(Block::Table(Table { caption: title.into(), row_height: Some(ROW), ..table }));
    };
    list("Past", kept.rows(is_past));
    list("Within two months", kept.rows(|row| say_work::is_soon(row, kept.now)));
    let unknown: Vec<&Due> = kept.rows(|row| row.stands == Stands::Unknown).into_iter().take(UNKNOWN).collect();
    list("Nobody knows when they were done last; to begin with", unknown);
    let chapters = vec![Chapter { title: String::new(), anchor: "due".into(), new_sheet: false, blocks }];
    let subtitle = "What is past, and what comes due. Write down what was done, with the hour meter.";
    Document { landscape: true, ..document(facts, "Due", subtitle, chapters) }
}

/// A card for each task that is past or comes due soon, with what it takes and room for what was found.
pub fn cards(facts: &Facts, kept: &Kept) -> Document {
    let pressing = kept.pressing();
    let mut blocks: Vec<Block> = pressing.iter().take(CARDS).map(|row| card(facts, kept, row)).collect();
    if blocks.is_empty() {
        blocks.push(say(say_work::verdict(kept.list, kept.now)));
    }
    let subtitle = match pressing.len().checked_sub(CARDS) {
        Some(more) if more > 0 => format!("The {CARDS} most pressing; {more} more are past or come due soon."),
        _ => "What is past or comes due within two months, a sheet each.".into(),
    };
    let chapters = vec![Chapter { title: String::new(), anchor: "cards".into(), new_sheet: false, blocks }];
    document(facts, "Work cards", &subtitle, chapters)
}

fn card(facts: &Facts, kept: &Kept, row: &Due) -> Block {
    let task = kept.task(row);
    let mut blocks = vec![Block::Paragraph(vec![
        strong(format!("{}.", task.needs.title())),
        text(format!(" {} On: {}. It takes about {:.0} min.", stands(row), on(facts.plant, task), task.minutes)),
    ])];
    blocks.push(say(format!("It is due {} ({}).", say_work::interval(facts.plant, task), task.mark)));
    if let Some(Named::Part(part)) = task.of {
        let live = Live { standalone: true, around: vec![part.0], ..Live::default() };
        let svg = drawing::on_paper(&facts.schematic.svg(facts.plant, &live));
        let caption = format!("{}, and what lies next to it", facts.plant[part].name);
        blocks.push(Block::Drawing { svg, caption, width: 0.6 });
    }
    let takes: Vec<String> = task.tools.iter().cloned().chain(task.uses.iter().map(|one| used(kept, one))).collect();
    if !takes.is_empty() {
        blocks.push(Block::Paragraph(vec![strong("Take along: "), text(takes.join(", ") + ".")]));
    }
    let mut steps: Vec<Step> = task.steps.iter().map(step).collect();
    match (&task.caution, steps.first_mut()) {
        (Some(caution), Some(first)) => first.caution = Some(caution.clone()),
        (Some(caution), None) => blocks.push(Block::Caution(caution.clone())),
        (None, _) => {}
    }
    if !steps.is_empty() {
        blocks.push(Block::Steps(steps));
    }
    if let Some(procedure) = &task.procedure {
        blocks.push(say(format!("Told in {procedure}.")));
    }
    if !task.measures.is_empty() {
        let rows = task.measures.iter().flat_map(measured).collect();
        let table = table(&["Measured", "May be", "As found", "As left"], &[2.0, 1.4, 1.0, 1.0], rows);
        blocks.push(Block::Table(Table { row_height: Some(ROW), ..table }));
    }
    blocks.push(Block::Lines { text: "Done on, at how many hours, by whom; what was found".into(), count: 3 });
    // Two strainers have a card each.
    let like = kept.tasks.iter().filter(|other| other.title == task.title).count();
    let title = match task.of {
        Some(Named::Part(part)) if like > 1 => format!("{}: {}", task.title, crate::words::name(facts.plant, part)),
        _ => task.title.clone(),
    };
    Block::Card { title, anchor: format!("task-{}", crate::words::slug(&task.name)), blocks }
}

fn stands(row: &Due) -> String {
    let by = say_work::by(row);
    let said = sentence(&say_work::stands(row));
    if by.is_empty() { format!("{said}.") } else { format!("{said}, {by}.") }
}

/// On what, with where it is.
fn on(plant: &Plant, task: &Task) -> String {
    match task.of {
        Some(Named::Part(part)) => found(plant, part),
        Some(Named::Gauge(gauge)) => plant[gauge].name.clone(),
        None => "the vessel".into(),
    }
}

/// What is used up, and whether it is aboard where it is kept under that name.
fn used(kept: &Kept, one: &work::task::Use) -> String {
    let amount = if one.volume {
        measure::unit::print(one.amount, measure::quantity::Quantity::Volume, "L").unwrap_or_default()
    } else {
        format!("{}", (one.amount * 100.0).round() / 100.0)
    };
    let item = kept.stores.ids().find(|id| kept.stores[*id].name == one.what);
    let stowed = item.and_then(|id| kept.stock.held[id.0].stowed.as_ref());
    let place = stowed.map_or_else(String::new, |place| format!(" ({place})"));
    format!("{amount} {}{place}", one.what)
}

/// The rows of a measure: one for each place it is taken at.
fn measured(measure: &Measure) -> Vec<Vec<String>> {
    let print = |value: f64| measure.print(value);
    let may = match measure.limits {
        (Some(low), Some(high)) => format!("{} to {}", print(low), print(high)),
        (Some(low), None) => format!("at least {}", print(low)),
        (None, Some(high)) => format!("at most {}", print(high)),
        (None, None) => measure.unit.clone(),
    };
    let row = |at: &str| {
        let name = if at.is_empty() { sentence(&measure.name) } else { format!("{}, {at}", sentence(&measure.name)) };
        vec![name, may.clone(), String::new(), String::new()]
    };
    if measure.at.is_empty() { vec![row("")] } else { measure.at.iter().map(|at| row(at)).collect() }
}

/// What is aboard, locker by locker with room to count, and the order sheet.
pub fn stores(facts: &Facts, kept: &Kept) -> Document {
    let today = kept.now.div_euclid(DAY);
    let Kept { stores, stock, .. } = kept;
    let mut blocks = vec![say(sentence(&verdict(stores, stock, today)) + ".")];
    blocks.extend(stock.notices.iter().map(|notice| say(notice.said())));
    let place = |id: ItemId| stock.held[id.0].stowed.clone().unwrap_or_default();
    let mut places: Vec<String> = stores.ids().map(place).collect();
    places.sort_by_key(|place| (place.is_empty(), place.clone()));
    places.dedup();
    for here in &places {
        let rows = stores.ids().filter(|id| place(*id) == *here).map(|id| item(facts.plant, kept, id, today)).collect();
        let table = table(&["Item", "What, and for what", "Aboard", "Keep", "Use by", "Counted"], &WIDTHS, rows);
        let caption = if here.is_empty() { "Nobody says where".into() } else { sentence(here) };
        let figures = vec![false, false, true, true, false, false];
        blocks.push(Block::Table(Table { caption, figures, row_height: Some(ROW), ..table }));
    }
    let aboard = Chapter { title: "Aboard".into(), anchor: "aboard".into(), new_sheet: false, blocks };
    let sheet = order::order(stores, stock, today, None);
    let chapters = vec![aboard, chapter("To order", "order", ordered(stores, &sheet))];
    document(facts, "Stores", "Locker by locker, and what is to be ordered.", chapters)
}

const WIDTHS: [f64; 6] = [1.5, 2.6, 0.8, 0.8, 1.1, 0.9];

fn item(plant: &Plant, Kept { stores, stock, .. }: &Kept, id: ItemId, today: i64) -> Vec<String> {
    let item = &stores[id];
    let uses = used_by(plant, stores, id);
    let what = if uses.is_empty() { item.what.clone() } else { format!("{}; for {}", item.what, uses.join(", ")) };
    let first = stock.held[id.0].lots.iter().find_map(|lot| lot.good_until);
    let until = first
        .map_or_else(String::new, |until| if until < today { format!("past: {}", day(until)) } else { day(until) });
    let keep = if item.keep > 0.0 { item.counted.print(item.keep) } else { String::new() };
    vec![item.name.clone(), what, item.counted.print(stock.amount(id)), keep, until, String::new()]
}

fn ordered(stores: &Stores, sheet: &Order) -> Vec<Block> {
    if sheet.suppliers.is_empty() {
        return vec![say("Nothing is below what is to be kept.")];
    }
    let mut blocks = Vec::new();
    for supplier in &sheet.suppliers {
        let line = |line: &order::Line| {
            let item = &stores[line.item];
            let numbers: Vec<&str> = item.number.iter().chain(&item.equivalents).map(String::as_str).collect();
            let comes = line.comes.map_or_else(|| "not told".into(), day);
            let cost = line.cost.map_or_else(String::new, |cost| format!("{cost:.0}"));
            vec![
                item.name.clone(),
                item.what.clone(),
                numbers.join(" or "),
                item.counted.print(line.amount),
                comes,
                cost,
            ]
        };
        let rows = supplier.lines.iter().map(line).collect();
        let table =
            table(&["Item", "What", "Number", "How much", "Comes", "EUR"], &[1.5, 2.0, 1.6, 0.9, 1.1, 0.7], rows);
        let caption = supplier.name.clone().unwrap_or_else(|| "No supplier told".into());
        blocks.push(Block::Table(Table { caption, figures: vec![false, false, false, true, false, true], ..table }));
    }
    let without = match sheet.unpriced {
        0 => String::new(),
        some => format!(", {} without a price", count(some, "line", "lines")),
    };
    blocks.push(say(format!("{:.0} EUR together{without}.", sheet.cost)));
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Span;
    use crate::facts::Asked;
    use work::due::{Asked as Weighed, list};

    /// Plain text of a span.
    fn read(spans: &[Span]) -> String {
        let words = |span: &Span| match span {
            Span::Text(text) | Span::Strong(text) | Span::Link { text, .. } => text.clone(),
        };
        spans.iter().map(words).collect()
    }

    #[test]
    fn what_is_due_has_its_card_with_caution_measures_and_drawing_and_stores_stand_by_locker() {
        let text = include_str!("../../../vessels/marram/vessel.toml");
        let plant = plant::reader::read(text).0.expect("shipped");
        let work = "[task.lash]\nof = \"main\"\nhours = 500\nlast = { hours = 1000 }\n\
                    [item.impeller]\nwhat = \"Impeller\"\nnumber = \"A 1\"\nstowed = \"locker 3\"\naboard = 2\nkeep = 3\n";
        let (tasks, findings) = work::tasks(&plant, &[work]);
        assert!(findings.is_empty(), "{findings:?}");
        let (stores, findings) = spares::read_beside(work, &plant, &work::stores::words(&tasks), Stores::default());
        assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
        let now = 1_780_000_000_000;
        let meters = [(plant.part("main").expect("an engine"), vec![(now, 1_850.0)])];
        let (records, readings) = (diary::Diary::default(), |_, _| Vec::new());
        let asked = Weighed {
            plant: &plant,
            tasks: &tasks,
            records: &records,
            meters: &meters,
            readings: &readings,
            now,
            planned: None,
        };
        let list = list(&asked);
        let stock = spares::stock(&plant, &stores, &diary::Diary::default(), &[]);
        let asked = Asked::default();
        let facts = Facts::of(&plant, &asked).expect("it can be worked out");
        let kept = Kept { tasks: &tasks, list: &list, stores: &stores, stock: &stock, now };
        let due = due(&facts, &kept);
        let tables = |document: &Document, chapter: usize| -> Vec<Table> {
            let tables = document.chapters[chapter].blocks.iter();
            tables
                .filter_map(|block| if let Block::Table(table) = block { Some(table.clone()) } else { None })
                .collect()
        };
        let row: Vec<String> = tables(&due, 0)[0].rows[0].iter().map(|cell| read(cell)).collect();
        assert_eq!(row[0], "Check valve clearances");
        assert!(row[1].contains("engine") && row[2].starts_with("past by 350 h"), "{row:?}");
        let cards = cards(&facts, &kept);
        let Block::Card { title, blocks, .. } = &cards.chapters[0].blocks[0] else { panic!("a card") };
        assert_eq!(title, "Check valve clearances");
        assert!(blocks.iter().any(|block| matches!(block, Block::Drawing { .. })));
        assert!(blocks.iter().any(|block| matches!(block, Block::Steps(steps) if steps[0].caution.is_some())));
        assert!(
            blocks.iter().any(|block| matches!(block, Block::Table(table) if table.rows.len() == 10)),
            "ten valves"
        );
        let stores = super::stores(&facts, &kept);
        let row: Vec<String> = tables(&stores, 0)[0].rows[0].iter().map(|cell| read(cell)).collect();
        assert_eq!((row[0].as_str(), row[2].as_str(), row[3].as_str()), ("impeller", "2", "3"));
        let order: Vec<String> = tables(&stores, 1)[0].rows[0].iter().map(|cell| read(cell)).collect();
        assert_eq!((order[0].as_str(), order[2].as_str(), order[3].as_str()), ("impeller", "A 1", "1"));
    }
}
