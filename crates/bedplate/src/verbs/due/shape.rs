//! What is due, as programs read it.

use super::Answer;
use crate::json::VERSION;
use crate::json::work as json;
use crate::verbs::expect::name;
use work::due::{Due, Stands};

impl Answer<'_> {
    pub(super) fn shape(&self) -> json::Due {
        json::Due {
            version: VERSION,
            vessel: name(self.plant).into(),
            now: self.now,
            engines: self.hours(),
            tasks: self.list.rows.iter().map(|due| self.row(due)).collect(),
            first: self.firsts(),
            passage: self.planned(),
        }
    }

    fn hours(&self) -> Vec<json::Hours> {
        let of = |engine: &work::due::EngineUse| json::Hours {
            engine: self.plant[engine.engine].name.clone(),
            read_at: engine.read.map(|(time, _)| time),
            read_h: engine.read.map(|(_, hours)| hours),
            now_h: engine.hours,
            a_year_h: engine.a_year,
        };
        self.list.engines.iter().map(of).collect()
    }

    fn row(&self, due: &Due) -> json::Task {
        let task = self.task(due);
        let (stands, past_h, past_days) = match due.stands {
            Stands::Past { hours, days } => ("past", hours, days),
            Stands::Ahead => ("ahead", None, None),
            Stands::Unknown => ("unknown", None, None),
            Stands::Waits => ("waits", None, None),
        };
        json::Task {
            task: task.name.clone(),
            title: task.title.clone(),
            of: task.of.map(|of| of.name(self.plant).to_string()),
            needs: task.needs.key(),
            minutes: task.minutes,
            every_h: task.every.hours,
            every_months: task.every.months,
            mark: task.mark.clone(),
            last_at: due.last.time,
            last_h: due.last.hours,
            due_h: due.at_hours,
            due_at: due.at_time,
            when: due.when,
            stands,
            past_h,
            past_days,
        }
    }

    fn firsts(&self) -> Vec<json::First> {
        let name = |row: usize| self.task(&self.list.rows[row]).name.clone();
        let of = |risk: &work::risk::Risk| json::First {
            task: name(risk.row),
            chance_in_100_h: risk.chance,
            loss_eur: risk.loss,
        };
        self.risks.iter().map(of).collect()
    }

    fn planned(&self) -> Option<json::Passage> {
        let (passage, falls) = self.passage.as_ref()?;
        let of = |fall: &work::passage::Falls| json::Falls {
            task: self.papers.tasks[fall.task].name.clone(),
            at_h: fall.at_hours,
            at: fall.at_time,
            before: fall.before,
            times: fall.times,
            times_if_done: fall.times_if_done,
            next_h: fall.next_hours,
            next: fall.next_time,
        };
        let carry = self.carry(falls).into_iter().map(|(what, amount, volume)| json::Carry {
            what,
            amount,
            unit: if volume { "m3" } else { "" },
        });
        Some(json::Passage {
            start: passage.start,
            end: passage.end(),
            hours_h: passage.hours,
            falls: falls.iter().map(of).collect(),
            carry: carry.collect(),
        })
    }
}
