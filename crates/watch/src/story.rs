//! What is remembered: how the plant ran when it was well, what was read since it was not, what people entered; and
//! when causes are worth weighing again.

use crate::helm::alike;
use crate::picture::Entry;
use crate::recent::WINDOW;
use crate::snapshot::{Judged, Snapshot};
use plant::evidence::{CheckMade, Evidence, Moment, Occasion, Renewal, Said, Situation, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// Operating points remembered at most, of when it was well and of now each. A third speed still tells causes apart, a
/// fourth hardly (a prototype: 56, 70 and 88 % first with none, with three now, with three of either).
pub const MOST: usize = 3;
/// Looks in a row that must agree before anything follows from them.
const LOOKS: usize = 2;
/// Odds are worked out again after so long without news, all being well and in trouble [s].
const WELL_AGAIN: f64 = 3600.0;
const TROUBLED_AGAIN: f64 = 1200.0;
/// A plant this likely well is taken as an example of itself [1].
const GOOD: f64 = 0.8;
/// In trouble below this chance of all being well [1].
const WELL: f64 = 0.5;
/// Below this chance nothing is waited for; above it, it is weighed again from readings of which none was in the first
/// before a part is named [1].
const BEYOND_DOUBT: f64 = 0.03;

/// What is remembered.
#[derive(Clone, Debug, Default)]
pub struct Story {
    usual: Vec<Snapshot>,
    nows: Vec<Judged>,
    present: Option<Judged>,
    /// Gauges that had departed at the last look and the one before it.
    departed: Vec<GaugeId>,
    said: Vec<(Said, bool)>,
    checks: Vec<CheckMade>,
    /// What is written down of her says of causes; it stands beside what is entered.
    kept: Vec<CheckMade>,
    /// Repairs that were entered.
    repairs: Vec<Renewal>,
    /// Where she is, if that was entered.
    situation: Option<Situation>,
    troubled: bool,
    odd_looks: usize,
    plain_looks: usize,
    changed_looks: usize,
    /// All was well, and then the odds were against it: since when [s].
    suspected: Option<f64>,
    /// In trouble, at another speed, nothing is odd: either it does not show there, or it is gone.
    doubt: Option<Judged>,
    weighed: Option<Weighed>,
    due: bool,
}

/// What was weighed last.
#[derive(Clone, Debug)]
struct Weighed {
    at: f64,
    judged: Option<Judged>,
}

impl Story {
    /// Snapshots of when it was well.
    pub fn usual(&self) -> &[Snapshot] {
        &self.usual
    }

    /// Whether causes are to be weighed.
    pub fn due(&self) -> bool {
        self.due
    }

    /// The plant as it runs now, held against its bands.
    pub fn look(&mut self, plant: &Plant, judged: Judged) {
        let odd = judged.odd();
        (self.odd_looks, self.plain_looks) = if odd { (self.odd_looks + 1, 0) } else { (0, self.plain_looks + 1) };
        let news = if self.troubled { self.news_in_trouble(plant, &judged) } else { self.news(plant, &judged) };
        self.due |= news;
        let before = self.present.take();
        let still = |gauge: &GaugeId| before.as_ref().is_some_and(|before| before.departed.contains(gauge));
        self.departed = judged.departed.iter().filter(|gauge| still(gauge)).copied().collect();
        self.present = Some(judged);
    }

    /// All was well: is there anything to ask?
    fn news(&self, plant: &Plant, judged: &Judged) -> bool {
        let Some(last) = &self.weighed else { return self.odd_looks.max(self.plain_looks) >= LOOKS };
        let ago = judged.snapshot.at - last.at;
        let new = last.judged.as_ref().is_none_or(|was| {
            !was.odd() || !alike(plant, &was.snapshot.told, &judged.snapshot.told) || judged.differs(plant, was)
        });
        if let Some(since) = self.suspected {
            return ago >= WINDOW && judged.snapshot.at - since >= WINDOW;
        }
        let again = new || ago > TROUBLED_AGAIN;
        let odd = self.odd_looks >= LOOKS && again;
        // What was not well enough for an example a moment ago is none now.
        let elsewhere = last.judged.as_ref().is_none_or(|was| {
            was.odd() || !was.snapshot.settled() || !alike(plant, &was.snapshot.told, &judged.snapshot.told)
        });
        let example = self.plain_looks >= LOOKS
            && (elsewhere || ago > TROUBLED_AGAIN)
            && judged.snapshot.settled()
            && self.wants(plant, &judged.snapshot);
        odd || example || ago > WELL_AGAIN
    }

    /// In trouble: does this tell more than what was weighed?
    fn news_in_trouble(&mut self, plant: &Plant, judged: &Judged) -> bool {
        let told = &judged.snapshot.told;
        let Some(same) = self.nows.iter().position(|now| alike(plant, &now.snapshot.told, told)) else {
            if judged.odd() {
                self.add(judged.clone());
                return true;
            }
            self.doubt = (self.plain_looks >= LOOKS).then(|| judged.clone());
            return false;
        };
        self.doubt = None;
        let differs = judged.differs(plant, &self.nows[same]);
        self.changed_looks = if differs { self.changed_looks + 1 } else { 0 };
        if self.changed_looks >= LOOKS {
            // Not the plant that it was: mended, or worse. What it showed at other speeds says nothing of it now.
            self.changed_looks = 0;
            self.nows = vec![judged.clone()];
            if !judged.odd() {
                self.forget_entries();
            }
            return true;
        }
        let again = self.weighed.as_ref().is_none_or(|last| judged.snapshot.at - last.at > TROUBLED_AGAIN);
        if again && !differs {
            self.nows[same] = judged.clone();
        }
        again
    }

    fn add(&mut self, judged: Judged) {
        self.nows.push(judged);
        if self.nows.len() > MOST {
            self.nows.remove(0);
        }
    }

    /// Gauges that have departed from what a sound plant would show, look after look.
    pub fn departed(&self) -> &[GaugeId] {
        &self.departed
    }

    /// How far a gauge that kept still was off at the last look [SI], and when that was [s].
    pub fn off(&self, gauge: GaugeId) -> Option<(f64, f64)> {
        let present = self.present.as_ref()?;
        let off = present.off.iter().find(|(g, _)| *g == gauge)?.1;
        Some((off, present.snapshot.at))
    }

    /// Whether it is to be found out if the likeliest cause would show where nothing is odd.
    pub fn in_doubt(&self) -> bool {
        self.doubt.is_some()
    }

    /// It would, and so is gone; or it would not, and that nothing is odd here tells of it too.
    pub fn resolve(&mut self, would_show: bool) {
        let Some(judged) = self.doubt.take() else { return };
        if would_show {
            self.nows = vec![judged];
            self.forget_entries();
        } else {
            self.add(judged);
        }
        self.due = true;
    }

    /// Whether a snapshot would be a new example of a plant that is well.
    fn wants(&self, plant: &Plant, snapshot: &Snapshot) -> bool {
        self.usual.len() < MOST && !self.usual.iter().any(|usual| alike(plant, &usual.told, &snapshot.told))
    }

    /// Something was entered.
    pub fn enter(&mut self, entry: Entry) {
        match entry {
            Entry::Checked { of, check, found } => {
                self.checks.retain(|made| (made.of, made.check) != (of, check));
                self.checks.push(CheckMade { of, check, found });
            }
            Entry::Said { of, word, there } => {
                let said = Said { of, word };
                self.said.retain(|(other, _)| *other != said);
                self.said.push((said, there));
            }
            Entry::Unsaid { of, word } => self.said.retain(|(said, _)| *said != Said { of, word }),
            Entry::Unchecked { of, check } => self.checks.retain(|made| (made.of, made.check) != (of, check)),
            Entry::Repaired(repair) => {
                self.repairs.retain(|made| (made.of, &made.what) != (repair.of, &repair.what));
                self.repairs.push(repair);
            }
            Entry::Unrepaired { of, what } => self.repairs.retain(|made| (made.of, &made.what) != (of, &what)),
            Entry::Situated(situation) => self.situation = Some(situation),
            Entry::Cleared => self.forget_entries(),
            // It says nothing of the plant.
            Entry::Alert(_) => return,
        }
        self.due = true;
    }

    /// What is written down of her says this of causes now; weighed again if it is news.
    pub fn written_down(&mut self, kept: Vec<CheckMade>) {
        self.due |= self.kept != kept;
        self.kept = kept;
    }

    fn forget_entries(&mut self) {
        self.said.clear();
        self.checks.clear();
        self.repairs.clear();
    }

    /// Repairs that were entered.
    pub fn repairs(&self) -> &[Renewal] {
        &self.repairs
    }

    /// Where she is: as entered, or at sea while her engine turns.
    pub fn situation(&self, told: Option<&ToldPoint>) -> Situation {
        let turns = told.and_then(|told| told.speed).is_some_and(|speed| speed > 1.0);
        self.situation.unwrap_or(Situation { at_sea: turns, ..Situation::default() })
    }

    /// Words that were entered, and whether what they say is there.
    pub fn entered(&self) -> &[(Said, bool)] {
        &self.said
    }

    /// Checks that were entered.
    pub fn checks(&self) -> &[CheckMade] {
        &self.checks
    }

    /// Words that were entered as being there.
    pub fn said(&self) -> impl Iterator<Item = Said> + '_ {
        self.said.iter().filter(|(_, there)| *there).map(|(said, _)| *said)
    }

    /// Everything that speaks of the plant as it is: how it ran when it was well, how it runs now, what was entered.
    pub fn evidence(&self, plant: &Plant, told: Option<&ToldPoint>) -> Evidence {
        let mut occasions: Vec<Occasion> = self.usual.iter().map(|s| s.occasion(plant, Moment::Usual)).collect();
        let now = |judged: &Judged| judged.snapshot.occasion(plant, Moment::Now);
        if self.troubled && !self.nows.is_empty() {
            occasions.extend(self.nows.iter().map(now));
        } else if let Some(present) = &self.present {
            occasions.push(now(present));
        } else {
            occasions.push(Occasion { at: told.cloned().unwrap_or_default(), ..Occasion::default() });
        }
        if let Some(last) = occasions.last_mut() {
            for (said, there) in &self.said {
                if *there { last.said.push(*said) } else { last.not.push(*said) }
            }
        }
        let unasked = self.said.is_empty();
        let situation = self.situation(occasions.last().map(|occasion| &occasion.at));
        // Who made the same look himself knows better.
        let entered = |kept: &&CheckMade| self.checks.iter().any(|made| (made.of, made.check) == (kept.of, kept.check));
        let kept = self.kept.iter().filter(|kept| !entered(kept)).cloned();
        let (checks, renewed) = (self.checks.iter().cloned().chain(kept).collect(), self.repairs.clone());
        Evidence { occasions, checks, renewed, situation, unasked, ..Evidence::default() }
    }

    /// Causes are being weighed from here on.
    pub fn begin(&mut self, now: f64) {
        self.due = false;
        self.weighed = Some(Weighed { at: now, judged: self.present.clone() });
    }

    /// Whether the odds were against all being well once, and are to be weighed once more before anything is named.
    pub fn suspects(&self) -> bool {
        self.suspected.is_some()
    }

    /// What came of it: the chance that all is well [1]. False if it accuses, and is to be borne out before it is told.
    pub fn concluded(&mut self, plant: &Plant, well: f64) -> bool {
        let Some(judged) = self.weighed.as_ref().and_then(|weighed| weighed.judged.clone()) else { return true };
        let was = self.troubled;
        let asked = !(self.said.is_empty() && self.checks.is_empty() && self.repairs.is_empty());
        let doubtful = !was && !asked && (BEYOND_DOUBT..WELL).contains(&well);
        if doubtful && self.suspected.is_none_or(|since| judged.snapshot.at - since < WINDOW) {
            self.suspected.get_or_insert(judged.snapshot.at);
            return false;
        }
        self.suspected = None;
        self.troubled = well < WELL;
        if !self.troubled {
            self.nows.clear();
            self.doubt = None;
        } else if !was {
            self.nows = vec![judged.clone()];
            self.changed_looks = 0;
        }
        // A plant that has begun to fail must not teach what is usual: it is well beyond doubt, nothing about it is odd
        // on this look and the last, it has kept still, and nobody has said anything of it. What was learned first stays.
        let good = well >= GOOD && !judged.odd() && judged.snapshot.settled() && self.odd_looks == 0;
        let example = good && self.said.is_empty() && self.wants(plant, &judged.snapshot);
        if example {
            self.usual.push(judged.snapshot);
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plant() -> Plant {
        plant::reader::read(include_str!("../../../vessels/marram/vessel.toml")).0.expect("it loads")
    }

    /// A look at a plant that reads nothing but is so odd.
    fn look(story: &mut Story, plant: &Plant, at: f64, oddity: f64) -> bool {
        story.look(plant, Judged { snapshot: Snapshot::empty(at), off: Vec::new(), oddity, departed: Vec::new() });
        story.due()
    }

    /// Well at first, then odd; weighed at the time that comes back.
    fn odd(plant: &Plant) -> (Story, f64) {
        let mut story = Story::default();
        assert!(!look(&mut story, plant, 0.0, 0.0) && look(&mut story, plant, 75.0, 0.0));
        story.begin(75.0);
        assert!(story.concluded(plant, 0.9));
        assert!(!look(&mut story, plant, 400.0, 3.0) && look(&mut story, plant, 475.0, 3.0));
        story.begin(475.0);
        (story, 475.0)
    }

    #[test]
    fn an_accusation_is_borne_out_before_it_is_told() {
        let plant = plant();
        let (mut story, at) = odd(&plant);
        assert!(!story.concluded(&plant, 0.3) && story.suspects() && !story.troubled);
        for after in [75.0, 150.0, 225.0] {
            assert!(
                !look(&mut story, &plant, at + after, 3.0),
                "weighed on readings that were in the first, {after} s"
            );
        }
        assert!(look(&mut story, &plant, at + WINDOW, 3.0));
        story.begin(at + WINDOW);
        let mut again = story.clone();
        assert!(story.concluded(&plant, 0.3) && story.troubled && !story.suspects());
        assert!(again.concluded(&plant, 0.7) && !again.troubled && !again.suspects());
    }

    #[test]
    fn what_leaves_no_doubt_and_what_somebody_said_is_told_at_once() {
        let plant = plant();
        let (mut sure, _) = odd(&plant);
        assert!(sure.concluded(&plant, 0.01) && sure.troubled);
        let (mut said, _) = odd(&plant);
        let of = plant::evidence::Named::Part(plant::plant::PartId(0));
        said.enter(Entry::Said { of, word: 0, there: true });
        assert!(said.concluded(&plant, 0.3) && said.troubled);
    }

    #[test]
    fn a_plant_not_well_enough_to_learn_from_is_not_weighed_at_every_look() {
        let plant = plant();
        let mut story = Story::default();
        look(&mut story, &plant, 0.0, 0.0);
        look(&mut story, &plant, 75.0, 0.0);
        story.begin(75.0);
        assert!(story.concluded(&plant, 0.6) && story.usual().is_empty());
        let due = (2..40).map(|k| 75.0 * f64::from(k)).find(|at| look(&mut story, &plant, *at, 0.0));
        assert_eq!(due, Some(1350.0));
    }
}
