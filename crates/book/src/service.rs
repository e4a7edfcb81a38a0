//! Work and stores on paper: the due list, a card for each task, and what is kept aboard, locker by locker.

use crate::document::{Block, Chapter, Document, Step, Table};
use crate::facts::Facts;
use crate::make::{chapter, document, heading, say, strong, table, text};
use drawing::Live;
use plant::evidence::Named;
use spares::{Stock, Stores};
use std::sync::Arc;
use work::due::{Due, List, Stands};
use work::task::{Needs, Task};
use work::words;

/// What is told of work and stores.
#[derive(Clone, Debug, Default)]
pub struct Service {
    /// Her tasks.
    pub tasks: Vec<Task>,
    /// Each of them as it stands, the soonest first.
    pub rows: Vec<Due>,
    /// When that was worked out [ms since 1970, UTC].
    pub now: i64,
    /// What is described as kept aboard.
    pub stores: Arc<Stores>,
    /// What of it is there.
    pub stock: Stock,
}

impl Service {
    /// From what lies on the desk.
    pub fn of(tasks: Vec<Task>, list: &List, now: i64, stores: Arc<Stores>, stock: Stock) -> Service {
        Service { tasks, rows: list.rows.clone(), now, stores, stock }
    }
}

/// Said where nothing is known.
const NOTHING: &str = "No service tasks are told of her, and none of the starting set fits.";

/// What is due, to be hung up and ticked off.
pub fn due(facts: &Facts) -> Document {
    let service = &facts.asked.service;
    let of = |wanted: &dyn Fn(&Due) -> bool| -> Vec<&Due> { service.rows.iter().filter(|due| wanted(due)).collect() };
    let past = of(&|due| matches!(due.stands, Stands::Past { .. }));
    let soon = of(&|due| words::is_soon(due, service.now));
    let unknown = of(&|due| due.stands == Stands::Unknown);
    let mut blocks = Vec::new();
    for (title, rows) in
        [("Past", &past), ("Within two months", &soon), ("Nobody knows when it was done last", &unknown)]
    {
        if rows.is_empty() {
            continue;
        }
        blocks.push(heading(title, ""));
        blocks.push(Block::Table(listed(facts, rows)));
    }
    if blocks.is_empty() {
        blocks.push(say(if service.tasks.is_empty() {
            NOTHING
        } else {
            "Nothing is past, and nothing falls due within two months."
        }));
    }
    blocks.push(Block::Lines { text: "Seen on the way".into(), count: 6 });
    let chapters = vec![Chapter { new_sheet: false, ..chapter("", "due", blocks) }];
    document(facts, "What is due", "By what was written down, and the hours she has run.", chapters)
}

fn listed(facts: &Facts, rows: &[&Due]) -> Table {
    let service = &facts.asked.service;
    let cells = |due: &&Due| {
        let task = &service.tasks[due.task];
        let part = task.of.map_or_else(String::new, |of| of.name(facts.plant).to_string());
        vec![task.title.clone(), part, words::stands(due), task.needs.title().to_lowercase(), String::new()]
    };
    let head = ["What", "On", "When", "Needs", "Done, hours, who"];
    Table { row_height: Some(9.0), ..table(&head, &[3.0, 1.6, 2.4, 1.4, 2.0], rows.iter().map(cells).collect()) }
}

/// A card for each task that is past or comes soon; where none is, for every task.
pub fn cards(facts: &Facts) -> Document {
    let service = &facts.asked.service;
    let wanted = |due: &&Due| matches!(due.stands, Stands::Past { .. }) || words::is_soon(due, service.now);
    let mut rows: Vec<&Due> = service.rows.iter().filter(wanted).collect();
    let subtitle =
        if rows.is_empty() { "Every task of hers." } else { "What is past, and what falls due within two months." };
    if rows.is_empty() {
        rows = service.rows.iter().collect();
    }
    let mut blocks: Vec<Block> = rows.iter().map(|due| card(facts, due)).collect();
    if blocks.is_empty() {
        blocks.push(say(NOTHING));
    }
    let chapters = vec![Chapter { new_sheet: false, ..chapter("", "cards", blocks) }];
    document(facts, "Work cards", subtitle, chapters)
}

fn card(facts: &Facts, due: &Due) -> Block {
    let task = &facts.asked.service.tasks[due.task];
    let part = task.of.map(|of| of.name(facts.plant).to_string());
    let title = part.as_ref().map_or_else(|| task.title.clone(), |part| format!("{}: {part}", task.title));
    let mut blocks = vec![Block::Paragraph(vec![
        strong(watch::saying::sentence(&format!("{}.", words::stands(due)))),
        text(format!(
            " It takes {:.0} min, {}. It is due {} ({}).",
            task.minutes,
            needs(task.needs),
            words::interval(facts.plant, task),
            task.mark
        )),
    ])];
    if let Some(Named::Part(place)) = task.of {
        blocks.extend(whereabouts(facts, place));
        let live = Live { standalone: true, around: vec![place.0], ..Live::default() };
        let svg = drawing::on_paper(&facts.schematic.svg(facts.plant, &live));
        let caption = format!("{}, and what lies next to it", facts.plant[place].name);
        blocks.push(Block::Drawing { svg, caption, width: 0.6 });
    }
    let taken = [
        (!task.tools.is_empty()).then(|| format!("Tools: {}.", task.tools.join(", "))),
        (!task.uses.is_empty())
            .then(|| format!("Used up: {}.", task.uses.iter().map(used).collect::<Vec<_>>().join(", "))),
    ];
    blocks.extend(taken.into_iter().flatten().map(say));
    blocks.push(Block::Steps(steps(task)));
    blocks.push(Block::Table(measures(task)));
    blocks.push(Block::Lines { text: "Day, hours, who, what was seen".into(), count: 3 });
    Block::Card { title, anchor: format!("card-{}", task.name.replace('.', "-")), blocks }
}

fn needs(needs: Needs) -> &'static str {
    match needs {
        Needs::Running => "while she runs",
        Needs::Stopped => "with the engine stopped",
        Needs::Cold => "with the engine cold",
        Needs::InPort => "in port",
        Needs::Afloat => "afloat and at rest",
        Needs::HauledOut => "hauled out",
    }
}

fn whereabouts(facts: &Facts, part: plant::plant::PartId) -> Option<Block> {
    let place = facts.plant[part].notes.iter().find(|(key, _)| key == "where").map(|(_, place)| place.clone())?;
    Some(say(format!("Where it is: {place}.")))
}

fn used(one: &work::task::Use) -> String {
    if one.volume {
        format!("{:.1} L of {}", one.amount * 1000.0, one.what)
    } else {
        format!("{} ({:.0})", one.what, one.amount)
    }
}

/// The caution stands at the first step: there it bites.
fn steps(task: &Task) -> Vec<Step> {
    let mut steps: Vec<Step> =
        task.steps.iter().map(|step| Step { text: vec![text(step.clone())], caution: None }).collect();
    if let (Some(first), Some(caution)) = (steps.first_mut(), &task.caution) {
        first.caution = Some(caution.clone());
    }
    steps
}

/// To be filled in.
fn measures(task: &Task) -> Table {
    let mut rows = Vec::new();
    for measure in &task.measures {
        let unit = if measure.unit == "words" || measure.unit.is_empty() {
            String::new()
        } else {
            format!(" [{}]", measure.unit)
        };
        let places: Vec<String> = if measure.at.is_empty() { vec![String::new()] } else { measure.at.clone() };
        rows.extend(
            places
                .into_iter()
                .map(|place| vec![format!("{}{unit}", measure.name), place, String::new(), String::new()]),
        );
    }
    let head = ["Measured", "Where", "As found", "As left"];
    Table { row_height: Some(8.0), ..table(&head, &[2.4, 2.0, 1.2, 1.2], rows) }
}

/// What is kept aboard, locker by locker, to be counted.
pub fn stores(facts: &Facts) -> Document {
    let Service { stores, stock, .. } = &facts.asked.service;
    let mut lockers: Vec<&str> = stores.items.iter().map(|item| item.stowed.as_deref().unwrap_or("")).collect();
    lockers.sort_unstable();
    lockers.dedup();
    let mut blocks = Vec::new();
    for locker in lockers {
        let title = if locker.is_empty() { "Nobody says where" } else { locker };
        blocks.push(heading(watch::saying::sentence(title), ""));
        let here = stores.ids().filter(|id| stores[*id].stowed.as_deref().unwrap_or("") == locker);
        let rows = here.map(|id| {
            let item = &stores[id];
            let keep = if item.keep > 0.0 { item.counted.print(item.keep) } else { String::new() };
            let numbers: Vec<&str> = item.number.iter().chain(&item.equivalents).map(String::as_str).collect();
            vec![item.what.clone(), numbers.join(", "), item.counted.print(stock.amount(id)), keep, String::new()]
        });
        let head = ["What", "Part number", "Aboard", "Keep", "Counted"];
        blocks.push(Block::Table(Table {
            row_height: Some(8.0),
            ..table(&head, &[3.4, 2.2, 1.0, 1.0, 1.2], rows.collect())
        }));
    }
    if blocks.is_empty() {
        blocks.push(say("No stores are described: [item.…] in work.toml tells them."));
    }
    let chapters = vec![Chapter { new_sheet: false, ..chapter("", "stores", blocks) }];
    document(facts, "Stores", "What is aboard, locker by locker.", chapters)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Span;
    use crate::facts::Asked;
    use work::due::{Asked as Weighed, list};

    /// Plain text of a span, for tests of what is read.
    fn read(spans: &[Span]) -> String {
        spans
            .iter()
            .map(|span| match span {
                Span::Text(text) | Span::Strong(text) | Span::Link { text, .. } => text.as_str(),
            })
            .collect()
    }

    fn service(plant: &plant::plant::Plant, work: &str) -> Service {
        let (tasks, findings) = work::tasks(plant, &[work]);
        assert!(findings.is_empty(), "{findings:?}");
        let words = work::stores::words(&tasks);
        let (stores, findings) = spares::read_beside(work, plant, &words, Stores::default());
        assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
        let records = diary::Diary::default();
        let now = 1_780_000_000_000;
        let engine = plant.part("main").expect("an engine");
        let meters = [(engine, vec![(now, 1_850.0)])];
        let readings = |_, _| Vec::new();
        let list = list(&Weighed {
            plant,
            tasks: &tasks,
            records: &records,
            meters: &meters,
            readings: &readings,
            now,
            planned: None,
        });
        let stock = spares::stock(plant, &stores, &diary::Diary::default(), &[]);
        Service::of(tasks, &list, now, Arc::new(stores), stock)
    }

    #[test]
    fn what_is_due_has_its_card_with_caution_measures_and_drawing_and_stores_stand_by_locker() {
        let text = include_str!("../../../vessels/marram/vessel.toml");
        let plant = plant::reader::read(text).0.expect("shipped");
        let work = "[task.lash]\nof = \"main\"\nhours = 500\nlast = { hours = 1000 }\n\
                    [item.impeller]\nwhat = \"Impeller\"\nnumber = \"A 1\"\nstowed = \"locker 3\"\naboard = 2\nkeep = 1\n";
        let asked = Asked { service: service(&plant, work), ..Asked::default() };
        let facts = Facts::of(&plant, &asked).expect("it can be worked out");
        let due = due(&facts);
        let Some(Block::Table(table)) = due.chapters[0].blocks.iter().find(|block| matches!(block, Block::Table(_)))
        else {
            panic!("a table")
        };
        let row: Vec<String> = table.rows[0].iter().map(|cell| read(cell)).collect();
        assert_eq!(
            (row[0].as_str(), row[1].as_str(), row[2].as_str()),
            ("Check valve clearances", "main", "past by 350 h")
        );
        let cards = cards(&facts);
        let Block::Card { title, blocks, .. } = &cards.chapters[0].blocks[0] else { panic!("a card") };
        assert_eq!(title, "Check valve clearances: main");
        assert!(blocks.iter().any(|block| matches!(block, Block::Drawing { .. })));
        assert!(blocks.iter().any(|block| matches!(block, Block::Steps(steps) if steps[0].caution.is_some())));
        assert!(blocks.iter().any(|block| matches!(block, Block::Table(table) if table.rows.len() == 10)));
        let stores = stores(&facts);
        let Block::Table(table) = &stores.chapters[0].blocks[1] else { panic!("a table") };
        let row: Vec<String> = table.rows[0].iter().map(|cell| read(cell)).collect();
        assert_eq!(row[..4], ["Impeller", "A 1", "2", "1"]);
    }
}
