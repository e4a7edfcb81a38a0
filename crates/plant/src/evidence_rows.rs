//! Evidence in short: rows of values, grouped into occasions.

use crate::evidence::{Evidence, Occasion, ToldPoint};
use crate::evidence_names as names;
use crate::evidence_values as values;
use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::plant::{GaugeId, Plant};
use std::collections::HashMap;
use std::ops::Range;

/// Most occasions taken from one file.
const MOST: usize = 200;

/// Rows as a table or JSON lines hold them.
#[derive(Debug, Default)]
pub(crate) struct Rows {
    pub rows: Vec<Row>,
    /// What was wrong before any value was looked at.
    pub findings: Vec<Finding>,
}

/// One row.
#[derive(Debug)]
pub(crate) struct Row {
    /// Rows of the same group are one occasion.
    pub group: String,
    pub cells: Vec<Cell>,
}

/// One value.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    /// The gauge, or a key of an operating point.
    pub name: String,
    /// The value, with its unit.
    pub text: String,
    /// Where the value stands [byte offsets].
    pub place: Range<usize>,
    /// Where its name stands [byte offsets].
    pub name_place: Range<usize>,
    /// The name is a column of a wide table: one that is no gauge is left out.
    pub column: bool,
}

/// The evidence that rows tell: an occasion a group, thinned evenly if there are too many.
pub(crate) fn evidence(rows: Rows, plant: &Plant) -> (Evidence, Vec<Finding>) {
    let groups = grouped(rows.rows);
    let mut said = Said { findings: rows.findings, alike: HashMap::new() };
    if groups.len() > MOST {
        said.findings.push(Finding::whole(Problem::Thinned { rows: groups.len(), kept: MOST }));
    }
    let mut evidence = Evidence::default();
    for cells in thinned(groups) {
        let occasion = occasion(&cells, plant, &mut said);
        if !occasion.readings.is_empty() || occasion.at != ToldPoint::default() {
            evidence.occasions.push(occasion);
        }
    }
    (evidence, said.done())
}

/// The cells of each group, in the order in which the groups begin.
fn grouped(rows: Vec<Row>) -> Vec<Vec<Cell>> {
    let mut groups: Vec<Vec<Cell>> = Vec::new();
    let mut places: HashMap<String, usize> = HashMap::new();
    for row in rows {
        let place = *places.entry(row.group).or_insert(groups.len());
        if place == groups.len() {
            groups.push(Vec::new());
        }
        groups[place].extend(row.cells);
    }
    groups
}

/// At most [`MOST`] of them, evenly spread, the first and the last among them.
fn thinned<T>(groups: Vec<T>) -> Vec<T> {
    let last = groups.len().saturating_sub(1);
    if last < MOST {
        return groups;
    }
    let kept: Vec<usize> = (0..MOST).map(|place| place * last / (MOST - 1)).collect();
    groups.into_iter().enumerate().filter(|(place, _)| kept.binary_search(place).is_ok()).map(|(_, it)| it).collect()
}

fn occasion(cells: &[Cell], plant: &Plant, said: &mut Said) -> Occasion {
    let mut occasion = Occasion::default();
    let mut seen: Vec<String> = Vec::new();
    for cell in cells {
        let name = folded(&cell.name);
        if seen.contains(&name) {
            said.once(&name, Problem::Repeated { what: format!("`{}`", names::short(&cell.name)) }, &cell.place);
        }
        match names::gauge(plant, &cell.name) {
            Ok(gauge) => reading(cell, gauge, plant, &mut occasion, said),
            Err(_) if name == "when" => match values::moment(&cell.text) {
                Ok(when) => occasion.when = when,
                Err(problem) => said.once(&name, problem, &cell.place),
            },
            Err(_) if values::POINT_KEYS.contains(&name.as_str()) => {
                if let Some(problem) = values::enter(&mut occasion.at, &name, &cell.text, Some(plant)) {
                    said.once(&name, problem, &cell.place);
                }
            }
            Err(problem) => said.once(&name, if cell.column { left_out(problem) } else { problem }, &cell.name_place),
        }
        seen.push(name);
    }
    occasion
}

fn reading(cell: &Cell, gauge: GaugeId, plant: &Plant, occasion: &mut Occasion, said: &mut Said) {
    match values::reading(plant, gauge, &cell.text) {
        Ok((reading, doubt)) => {
            occasion.readings.retain(|(other, _)| *other != gauge);
            occasion.readings.push((gauge, reading));
            if let Some(problem) = doubt {
                said.once(&cell.name, problem, &cell.place);
            }
        }
        Err(problem) => said.once(&cell.name, problem, &cell.place),
    }
}

fn left_out(problem: Problem) -> Problem {
    match problem {
        Problem::UnknownGauge { name, nearest } => Problem::ColumnLeftOut { name, nearest },
        other => other,
    }
}

/// What was found, the same mistake in many rows told once.
struct Said {
    findings: Vec<Finding>,
    /// By column and sort of mistake: which finding, and how often.
    alike: HashMap<String, (usize, usize)>,
}

impl Said {
    fn once(&mut self, column: &str, problem: Problem, place: &Range<usize>) {
        let sort = match &problem {
            Problem::NotAReading { error, .. } | Problem::BadUnit { error, .. } => format!("{:?}", kind_of(error)),
            other => format!("{:?}", kind_of(other)),
        };
        let next = self.findings.len();
        let (_, times) = self.alike.entry(format!("{} {sort}", folded(column))).or_insert((next, 0));
        *times += 1;
        if *times == 1 {
            self.findings.push(Finding::at(problem, place.clone()));
        }
    }

    /// The findings, each with how many more there are like it.
    fn done(mut self) -> Vec<Finding> {
        for (place, times) in self.alike.into_values() {
            if matches!(self.findings[place].problem, Problem::ColumnLeftOut { .. }) {
                continue;
            }
            if let Some((_, words)) = self.findings[place].places.first_mut() {
                match times {
                    0 | 1 => {}
                    2 => "and once more below".clone_into(words),
                    _ => *words = format!("and {} times more below", times - 1),
                }
            }
        }
        self.findings
    }
}

fn kind_of<T>(value: &T) -> std::mem::Discriminant<T> {
    std::mem::discriminant(value)
}
