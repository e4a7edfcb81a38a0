//! What is due, held to a worked example, to the starting set's own figures, and to what an owner writes.

use diary::{Diary, Line, Sort};
use plant::plant::{GaugeId, Plant};
use work::date::{self, DAY};
use work::due::{Asked, By, List, Stands, list};
use work::passage::{Falls, Passage, falls};
use work::record::{Measured, Record};
use work::task::{Needs, Task};
use work::tasks;

fn marram() -> Plant {
    let text = include_str!("../../../vessels/marram/vessel.toml");
    plant::reader::read(text).0.expect("the example is sound")
}

fn own(plant: &Plant, text: &str) -> Vec<Task> {
    let (tasks, findings) = tasks(plant, &[text]);
    assert!(findings.is_empty(), "{findings:#?}");
    tasks
}

fn diary(records: &[(i64, Record)]) -> Diary<Record> {
    let lines: Vec<Line> = records.iter().map(|(time, record)| Line::of(*time, None, None, record)).collect();
    assert!(lines.iter().all(|line| line.kind == Record::KIND));
    diary::read(&lines)
}

fn at(tasks: &[Task], plant: &Plant, records: &Diary<Record>, now: i64, hours: f64) -> List {
    let meters = [(plant.part("main").expect("an engine"), vec![(now, hours)])];
    let readings = |_: GaugeId, _: i64| Vec::new();
    list(&Asked { plant, tasks, records, meters: &meters, readings: &readings, now, planned: None })
}

fn noon(text: &str) -> i64 {
    date::read(text).expect("a day")
}

const WORKED: &str = r#"
[task.oil-change]
of = "sump"
hours = 250
last = { hours = 1760 }
[task.primary]
title = "Renew the primary fuel element"
hours = 300
last = { hours = 1700 }
[task.impeller]
of = "raw-pump"
hours = 250
last = { hours = 1700 }
[task.belt]
of = "belt-raw"
like = "renew"
hours = 600
last = { hours = 1500 }
[task.lash]
of = "main"
hours = 1000
last = { hours = 1250 }
"#;

/// A worked example: 1850 h, a passage of 346 h, five tasks with what is written of each; what falls due and what
/// falls due still if it is done before. The arithmetic is the example's (last + interval, compared with 2196 h).
#[test]
fn what_falls_due_on_a_passage_is_as_worked_by_hand() {
    let plant = marram();
    let tasks = own(&plant, WORKED);
    let now = noon("2026-06-01");
    let list = at(&tasks, &plant, &Diary::default(), now, 1850.0);
    let passage = Passage { start: now, hours: 346.0, days: 16.0 };
    let found: Vec<(f64, Option<f64>, usize, usize)> = falls(&tasks, &list, &passage)
        .iter()
        .filter(|fall| tasks[fall.task].own)
        .map(|Falls { at_hours, next_hours, times, times_if_done, .. }| {
            (at_hours.expect("hours"), *next_hours, *times, *times_if_done)
        })
        .collect();
    let worked = [
        (1950.0, Some(2100.0), 1, 1), // impeller
        (2000.0, Some(2150.0), 1, 1), // primary element
        (2010.0, Some(2100.0), 1, 1), // oil
        (2100.0, Some(2450.0), 1, 0), // belt
    ];
    assert_eq!(found, worked, "lash at 2250 h is after the arrival at 2196 h");
}

#[test]
fn the_starting_set_is_sound_on_every_kind_it_names() {
    let plant = marram();
    let (tasks, findings) = tasks(&plant, &[]);
    assert!(findings.is_empty());
    let names: std::collections::HashSet<&str> = tasks.iter().map(|task| task.name.as_str()).collect();
    assert_eq!(names.len(), tasks.len(), "no name twice");
    for expected in
        ["sump.oil-change", "raw-pump.impeller", "main.lash", "strainer-port.look", "belt-raw.renew", "fire"]
    {
        assert!(names.contains(expected), "{expected} of {names:?}");
    }
    let lash = tasks.iter().find(|task| task.name == "main.lash").expect("lash");
    assert_eq!(lash.measures[0].at.len(), 10, "five cylinders, inlet and exhaust");
    for task in &tasks {
        assert!(
            !task.title.is_empty() && !task.steps.is_empty() && task.caution.is_some() && !task.mark.is_empty(),
            "{task:?}"
        );
        assert!(task.every.hours.or(task.every.months).is_some(), "{}", task.name);
    }
}

#[test]
fn hours_and_months_count_whichever_comes_first_and_what_is_past_says_by_how_much() {
    let plant = marram();
    let tasks = own(&plant, "[task.impeller]\nof = \"raw-pump\"\nhours = 250\nmonths = 12\n");
    let place = tasks.iter().position(|task| task.name == "raw-pump.impeller").expect("there");
    let (spring, later) = (noon("2025-04-01"), noon("2026-05-01"));
    let done = |hours| {
        diary(&[(spring, Record { task: Some("raw-pump.impeller".into()), hours: Some(hours), ..Record::default() })])
    };
    let due = |records: &Diary<Record>, now, hours| {
        let list = at(&tasks, &plant, records, now, hours);
        list.rows.into_iter().find(|row| row.task == place).expect("a row")
    };
    let by_month = due(&done(1000.0), later, 1010.0);
    assert_eq!((by_month.by, by_month.stands), (By::Calendar, Stands::Past { hours: None, days: Some(30.0) }));
    let by_hours = due(&done(1000.0), noon("2025-07-01"), 1264.0);
    assert_eq!((by_hours.by, by_hours.stands), (By::Hours, Stands::Past { hours: Some(14.0), days: None }));
    let ahead = due(&done(1000.0), noon("2025-04-02"), 1001.0);
    assert_eq!(
        (ahead.stands, ahead.at_hours, ahead.at_time.map(date::iso)),
        (Stands::Ahead, Some(1250.0), Some("2026-04-01".into()))
    );
    let when = ahead.when.expect("foreseen");
    assert!(when[0] < when[2] && when[2] <= ahead.at_time.expect("a day") + DAY);
    assert_eq!(due(&Diary::default(), later, 5000.0).stands, Stands::Unknown);
}

#[test]
fn a_haul_out_makes_due_what_waits_for_it_and_doing_it_ends_that() {
    let plant = marram();
    let tasks = own(&plant, "");
    let name = tasks
        .iter()
        .find(|task| task.name.contains("seacock") && task.title.contains("Strip"))
        .expect("a seacock to strip")
        .name
        .clone();
    let place = tasks.iter().position(|task| task.name == name).expect("there");
    let event = |day: &str| (noon(day), Record { happened: Some("haul-out".into()), ..Record::default() });
    let done = |day: &str| (noon(day), Record { task: Some(name.clone()), ..Record::default() });
    let row = |records: &[(i64, Record)], now: &str| {
        let list = at(&tasks, &plant, &diary(records), noon(now), 500.0);
        list.rows.into_iter().find(|row| row.task == place).expect("a row")
    };
    let first = [done("2025-03-01"), event("2025-09-01")];
    assert!(
        matches!(row(&first, "2025-09-10").stands, Stands::Past { days: Some(days), .. } if (days - 9.0).abs() < 0.1)
    );
    assert_eq!(row(&first, "2025-08-01").by, By::Event("haul-out".into()), "it is planned, and known");
    let both = [done("2025-03-01"), event("2025-09-01"), done("2025-09-12")];
    assert_eq!(row(&both, "2025-09-20").stands, Stands::Ahead);
    assert_eq!(tasks[place].needs, Needs::HauledOut);
}

#[test]
fn what_is_measured_again_and_again_foretells_when_it_comes_to_its_limit() {
    let plant = marram();
    let tasks = own(
        &plant,
        "[task.pencil]\nof = \"exchanger\"\nhours = 2000\nmonths = 60\nwhen = { measure = \"left of it\", below = \"50 %\" }\n",
    );
    let place = tasks.iter().position(|task| task.name == "exchanger.pencil").expect("there");
    let measured = |day: &str, hours: f64, left: f64| {
        let measured = Measured {
            name: "left of it".into(),
            at: None,
            found: Some(left),
            left: None,
            unit: "%".into(),
            words: String::new(),
        };
        (
            noon(day),
            Record {
                task: Some("exchanger.pencil".into()),
                hours: Some(hours),
                measured: vec![measured],
                ..Record::default()
            },
        )
    };
    let records =
        [measured("2025-01-01", 0.0, 1.0), measured("2025-03-01", 50.0, 0.9), measured("2025-05-01", 100.0, 0.8)];
    let list = at(&tasks, &plant, &diary(&records), noon("2025-05-01"), 100.0);
    let row = list.rows.iter().find(|row| row.task == place).expect("a row");
    assert_eq!(
        (row.by.clone(), row.stands),
        (By::Condition, Stands::Ahead),
        "at 250 h by the line, long before 2000 h"
    );
    let worse = [records.to_vec(), vec![measured("2025-09-01", 280.0, 0.45)]].concat();
    let list = at(&tasks, &plant, &diary(&worse), noon("2025-09-02"), 281.0);
    let row = list.rows.iter().find(|row| row.task == place).expect("a row");
    assert!(matches!(row.stands, Stands::Past { .. }), "{row:?}");
}

#[test]
fn mistakes_in_tasks_are_told_with_their_place() {
    let plant = marram();
    for (text, says) in [
        ("[task.x]\nof = \"raw-pumpp\"\nhours = 5\n", "no part or gauge"),
        ("[task.x]\nof = \"raw-pump\"\n", "nothing says when"),
        ("[task.x]\nof = \"raw-pump\"\nhours = -5\n", "running hours above 0"),
        ("[task.x]\nof = \"raw-pump\"\nhours = \"soon\"\n", "running hours above 0"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 1e300\n", "running hours above 0"),
        ("[task.x]\nof = \"raw-pump\"\nlike = \"impelller\"\n", "impeller"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\nneeds = \"floating\"\n", "floating"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\nguards = [\"vanes_los\"]\n", "vanes_lost"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\nlast = { date = \"1.5.2025\" }\n", "2025-05-01"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\nmeasures = [{ unit = \"mm\" }]\n", "name"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\nmeasures = [{ name = \"a\", unit = \"furlongs\" }]\n", "furlongs"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\nuses = { oil = \"14 K\" }\n", "14 K"),
        ("[task.x]\nof = \"raw-pump\"\nwhen = { gauge = \"nowhere\", above = \"5 kPa\" }\n", "nowhere"),
        ("[task.x]\nof = \"raw-pump\"\nhours = 5\ncolour = \"red\"\n", "colour"),
        ("[task]\nx = 5\n", "braces"),
        ("[task.x\n", "cannot be read"),
    ] {
        let (_, findings) = tasks(&plant, &[text]);
        let all: String =
            findings.iter().map(|(_, finding)| plant::finding::render(finding, text, "work.toml")).collect();
        assert!(all.contains(says), "{text} says {all}");
        assert!(all.contains("work.toml"), "{all}");
    }
}
