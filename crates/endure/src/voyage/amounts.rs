//! Loads that run or use so much in a day, or at each event: how that is spread over the day.

use boat::model::{Amount, DayPart, Event, Load, LoadKind, Rate, Runs};

use super::lines::{Habit, Maker, Take, part_minutes};

impl Maker<'_> {
    pub(super) fn daily(
        &self,
        rate: Option<Take>,
        (boat, each): (Option<Amount>, Option<Amount>),
        part: DayPart,
        load: &Load,
    ) -> Option<(Take, Habit)> {
        let crew = f64::from(self.trip.crew);
        let length = part_minutes(part) / 60.0;
        if let Some(stated) = self.trip.habits.water_each.filter(|_| load.kind == LoadKind::Water) {
            // What the plan says is for all uses of water together; each keeps its part of the file's total.
            let amount = stated.as_litres() * crew * self.part_of_water(load);
            return (amount > 0.0)
                .then_some((Take::Hourly(amount), Habit::Spread { part, share: 1.0 / length }));
        }
        let total =
            [(boat, 1.0), (each, crew)].into_iter().filter_map(|(amount, times)| Some((amount?, times)));
        let (mut hours, mut amount) = (0.0, 0.0);
        for (one, times) in total {
            match one {
                Amount::Time(time) => hours += time.as_hours() * times,
                Amount::Volume(volume) => amount += volume.as_litres() * times,
                Amount::Mass(mass) => amount += mass.as_kilograms() * times,
            }
        }
        if let Some(take) = rate.filter(|_| hours > 0.0) {
            return Some((take, Habit::Spread { part, share: hours / length }));
        }
        (amount > 0.0).then_some((Take::Hourly(amount), Habit::Spread { part, share: 1.0 / length }))
    }

    pub(super) fn event(
        &self,
        rate: Option<Take>,
        per: Event,
        takes: Amount,
        load: &Load,
    ) -> Option<(Take, Habit)> {
        let crew = f64::from(self.trip.crew);
        let flushes = self.trip.habits.flushes_each * crew / self.heads(load);
        // Many small events are spread over the day; few large ones have their moment.
        let (times, part) = match per {
            Event::Flush => (flushes, DayPart::Waking),
            Event::Meal => (self.trip.habits.meals, DayPart::Meals),
            Event::Litre => (self.water_a_day(), DayPart::Waking),
            Event::ChainMetre | Event::Berthing | Event::EngineStart => {
                let Amount::Time(time) = takes else { return None };
                return Some((rate?, Habit::Moments(per, time)));
            }
        };
        let length = part_minutes(part) / 60.0;
        match takes {
            Amount::Time(time) => {
                Some((rate?, Habit::Spread { part, share: time.as_hours() * times / length }))
            }
            Amount::Volume(volume) => {
                Some((Take::Hourly(volume.as_litres() * times), Habit::Spread { part, share: 1.0 / length }))
            }
            Amount::Mass(mass) => {
                Some((Take::Hourly(mass.as_kilograms() * times), Habit::Spread { part, share: 1.0 / length }))
            }
        }
    }

    /// The heads that share the crew's flushes.
    fn heads(&self, load: &Load) -> f64 {
        let alike = self.boat.loads.iter().filter(|other| {
            other.kind == load.kind && matches!(other.runs, Runs::Event { per: Event::Flush, .. })
        });
        // A manual head has no electric load: the waste loads tell how many heads there are.
        let waste = self.boat.loads.iter().filter(|other| {
            other.kind == LoadKind::Waste && matches!(other.runs, Runs::Event { per: Event::Flush, .. })
        });
        #[allow(clippy::cast_precision_loss, reason = "a few heads")]
        let heads = alike.count().max(waste.count()).max(1) as f64;
        heads
    }

    /// Fresh water of a day, in litres.
    fn water_a_day(&self) -> f64 {
        let daily: Vec<f64> = self.boat.loads.iter().filter_map(|load| self.litres_a_day(load)).collect();
        match self.trip.habits.water_each {
            Some(stated) if !daily.is_empty() => stated.as_litres() * f64::from(self.trip.crew),
            _ => daily.iter().sum(),
        }
    }

    /// The part of the water of a day that one use takes by the boat file.
    fn part_of_water(&self, load: &Load) -> f64 {
        let daily: Vec<f64> = self.boat.loads.iter().filter_map(|load| self.litres_a_day(load)).collect();
        let total: f64 = daily.iter().sum();
        #[allow(clippy::cast_precision_loss, reason = "a few loads")]
        let even = 1.0 / daily.len().max(1) as f64;
        if total > 0.0 { self.litres_a_day(load).unwrap_or(0.0) / total } else { even }
    }

    /// Litres a day of a load that uses water daily, by the boat file.
    fn litres_a_day(&self, load: &Load) -> Option<f64> {
        let Runs::Daily { boat, each, .. } = load.runs else { return None };
        if load.kind != LoadKind::Water {
            return None;
        }
        let litres = |amount| match (amount, load.rate) {
            (Some(Amount::Volume(volume)), _) => volume.as_litres(),
            (Some(Amount::Time(time)), Some(Rate::Volume(rate))) => {
                rate.as_litres_per_hour() * time.as_hours()
            }
            _ => 0.0,
        };
        Some(litres(boat) + litres(each) * f64::from(self.trip.crew))
    }
}
