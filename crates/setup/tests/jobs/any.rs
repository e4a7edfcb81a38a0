//! Whatever is told within an ask's range, a job answers in numbers or refuses with advice; it never stops short.

use setup::ask::{Ask, Need, Sort};
use setup::doubt;
use setup::given::Given;
use setup::job::Job;
use setup::jobs::JOBS;
use std::time::{Duration, Instant};

/// Numbers that are the same each time.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn of(&mut self, count: usize) -> usize {
        ((self.roll() * count as f64) as usize).min(count - 1)
    }

    /// A value in a range: an end now and then, near nothing where the range spans it, or anything by size or by place.
    fn within(&mut self, (low, high): (f64, f64)) -> f64 {
        match self.of(8) {
            0 => low,
            1 => high,
            2 if low < 0.0 && high > 0.0 => 0.0,
            3 | 4 if low > 0.0 => low * (high / low).powf(self.roll()),
            _ => low + (high - low) * self.roll(),
        }
    }

    fn answer(&mut self, ask: &Ask) -> String {
        let one = |value: f64, unit: &str| if unit == "1" { format!("{value}") } else { format!("{value} {unit}") };
        match ask.sort {
            Sort::One(quantity) => one(self.within(ask.within), quantity.si_unit()),
            Sort::Many(quantity) => {
                let count = [0, 1, 2, 3, 5, 6, 12, 200][self.of(8)];
                let mut values: Vec<f64> = (0..count).map(|_| self.within(ask.within)).collect();
                if self.roll() < 0.6 {
                    values.sort_by(f64::total_cmp);
                }
                values.iter().map(|value| one(*value, quantity.si_unit())).collect::<Vec<_>>().join(", ")
            }
            Sort::Choice(words) => words[self.of(words.len())].0.into(),
            Sort::Text(example) => {
                [example, "", "?", "1-2-", "SAE 15W-40", "a longer text – with ± signs"][self.of(6)].into()
            }
        }
    }

    /// As one would tell it, with a slip in it, or with nothing but slips.
    fn told(&mut self, job: &Job) -> Vec<(String, String)> {
        let wild = [0.0, 0.1, 1.0][self.of(3)];
        let must = |ask: &Ask, roll: f64| if ask.need == Need::Must { roll < 0.95 } else { roll < 0.4 };
        let asked: Vec<&Ask> = job.asks.iter().filter(|ask| must(ask, self.roll())).collect();
        let told = asked.into_iter().map(|ask| {
            let text = if self.roll() < wild { self.answer(ask) } else { usual(ask) };
            (ask.key.to_string(), text)
        });
        told.collect()
    }
}

/// Its example, of a choice the first word.
fn usual(ask: &Ask) -> String {
    match ask.sort {
        Sort::Choice(words) => words[0].0.into(),
        _ => ask.example().replace(", …", ""),
    }
}

#[test]
fn every_job_answers_or_refuses_whatever_is_told() {
    let mut dice = Dice(20_260_807);
    for job in JOBS {
        let (mut longest, mut own, mut careful) = (Duration::ZERO, 0, 0);
        for _ in 0..600 {
            let told = dice.told(job);
            let begun = Instant::now();
            let worked = Given::read(job, &told, &[]).and_then(|given| doubt::work(job, &given));
            longest = longest.max(begun.elapsed());
            match worked {
                Ok(worked) => {
                    own += 1;
                    careful += usize::from(worked.steps.iter().any(|step| step.caution.is_some()));
                    for result in &worked.results {
                        assert!(
                            result.value.is_finite(),
                            "{}: {} is {} from {told:?}",
                            job.word,
                            result.key,
                            result.value
                        );
                        assert!(result.doubt.is_none_or(f64::is_finite), "{}: {}", job.word, result.key);
                        let shown = result.shown();
                        assert!(
                            !shown.contains("NaN") && !shown.contains("inf"),
                            "{}: {shown} from {told:?}",
                            job.word
                        );
                    }
                    assert!(
                        !worked.says.is_empty() && !worked.says.contains("NaN"),
                        "{}: {} from {told:?}",
                        job.word,
                        worked.says
                    );
                    let said = format!("{:?} {:?}", worked.flags, worked.tables);
                    assert!(!said.contains("NaN") && !said.contains("inf "), "{}: {said} from {told:?}", job.word);
                    if let Some(sketch) = &worked.sketch {
                        assert!(!sketch.svg(true).contains("NaN"), "{}: drawing from {told:?}", job.word);
                    }
                }
                Err(refused) => {
                    assert!(!refused.0.is_empty(), "{}", job.word);
                    for one in &refused.0 {
                        assert!(
                            !one.why.is_empty() && !one.advice.is_empty() && !one.why.contains("NaN"),
                            "{}: {one:?} from {told:?}",
                            job.word
                        );
                    }
                }
            }
        }
        println!("{}: {own} answers, at most {longest:?}", job.word);
        assert!(own > 0, "{}: nothing came out of any of them", job.word);
        // A job whose answer asks for nothing to be done has nothing to heed.
        assert!(careful > 0, "{}: {careful} of {own} say what to heed", job.word);
    }
}
