//! The documented starting set: a task for every part that wants one, from the project's table.

use crate::reader::{Given, fill};
use crate::task::Task;
use parts::kind::Circuit;
use plant::evidence::Named;
use plant::finding::Finding;
use plant::plant::{Flow, PartId, Plant, Terminal};
use plant::told::{Entry, entries, tables};
use std::sync::LazyLock;
use toml_edit::Document;

/// The table as text; every figure in it bears its mark.
pub(crate) const TABLE: &str = include_str!("../../../reference/service-tasks.toml");
/// A row of this kind is done once for all of her.
const VESSEL: &str = "vessel";

/// The table, read once.
static SET: LazyLock<Option<Document<&str>>> = LazyLock::new(|| Document::parse(TABLE).ok());

/// A row of the table.
pub(crate) struct Row<'a> {
    /// Name on its part.
    pub name: String,
    /// Kinds it is done on.
    pub kinds: Vec<String>,
    /// Only where the part meets the sea.
    sea: bool,
    told: Vec<Entry<'a>>,
}

/// Every row.
pub(crate) fn rows<'a>(findings: &mut Vec<Finding>) -> Vec<Row<'a>> {
    let Some(document) = SET.as_ref() else { return Vec::new() };
    let sections = entries(document.as_table(), findings);
    let mut rows = Vec::new();
    for section in sections.iter().filter(|section| section.key == "task") {
        for (told, _) in tables(section, findings) {
            let text = |key: &str| told.iter().find(|entry| entry.key == key);
            let name = text("name").and_then(|entry| entry.value.as_str()).unwrap_or_default().to_string();
            let kinds = text("kinds").map(|entry| entry.list(findings)).unwrap_or_default();
            let kinds = kinds.into_iter().map(|(kind, _)| kind.to_string()).collect();
            let sea = text("sea").is_some();
            rows.push(Row { name, kinds, sea, told });
        }
    }
    rows
}

/// The whole starting set of this plant.
pub(crate) fn set(plant: &Plant, findings: &mut Vec<Finding>) -> Vec<Task> {
    let rows = rows(findings);
    let mut tasks = Vec::new();
    for row in &rows {
        if row.kinds.iter().any(|kind| kind == VESSEL) {
            tasks.push(row.task(plant, None, findings));
        }
        for place in 0..plant.parts.len() {
            let part = PartId(place);
            if row.fits(plant, part) {
                tasks.push(row.task(plant, Some(part), findings));
            }
        }
    }
    tasks
}

impl Row<'_> {
    /// Whether it is done on this part.
    pub fn fits(&self, plant: &Plant, part: PartId) -> bool {
        self.kinds.iter().any(|kind| kind == plant[part].kind.name) && (!self.sea || meets_the_sea(plant, part))
    }

    /// The task it makes.
    pub fn task(&self, plant: &Plant, part: Option<PartId>, findings: &mut Vec<Finding>) -> Task {
        let name = match part {
            Some(part) => format!("{}.{}", plant[part].name, self.name),
            None => self.name.clone(),
        };
        let mut task = Task::on(plant, name, part.map(Named::Part));
        task.mark = "common practice, no source".into();
        for entry in self.told.iter().filter(|entry| !matches!(entry.key.as_str(), "name" | "kinds" | "sea")) {
            fill(&mut task, entry, plant, Given::Starting, findings);
        }
        task
    }
}

/// Whether it stands next to an opening in the hull.
fn meets_the_sea(plant: &Plant, part: PartId) -> bool {
    let opens = |flow: &Flow| {
        let outside = |end| end == Terminal::Sea || (end == Terminal::Air && SEA_WATER.contains(&flow.circuit));
        outside(flow.from) || outside(flow.to)
    };
    let own = || plant.flows.iter().filter(|flow| flow.part == part);
    let meets =
        |end: Terminal, other: &Flow| matches!(end, Terminal::Node(_)) && (other.from == end || other.to == end);
    let beside = |other: &&Flow| own().any(|flow| meets(flow.from, other) || meets(flow.to, other));
    plant.flows.iter().filter(|flow| flow.part != part && opens(flow)).any(|flow| beside(&flow))
}

/// Where an end in the open air is an opening in the hull.
const SEA_WATER: [Circuit; 2] = [Circuit::RawWater, Circuit::Bilge];
