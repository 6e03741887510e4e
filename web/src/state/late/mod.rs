//! Results that take longer than a frame: how sure it all is, what the motor
//! gives, what would end a conflict. They come some time after the aeroplane
//! has changed; until then the last ones stay, told apart by their revision.

mod crew;
pub mod errand;

use std::sync::Arc;

use leptos::prelude::*;
use sim_core::assess::uncertainty::{Quantity, QuantitySpread, Uncertainty};
use sim_core::assess::{Performance, PowerStudy};
use sim_core::handling::rudder_bank::DihedralChange;
use sim_core::throws::advice::Remedy;
use sim_core::throws::sensitivity::Duty;

use super::sweep::Sweep;

pub use crew::{begin_sweep, changed, go_on, outdate, revision, stop, stop_sweep};

/// A result with the number of the design that it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Dated<T> {
    /// The result.
    pub result: T,
    /// Number of its design.
    pub revision: u32,
}

/// A late result: none yet, of this design or of an earlier one.
pub type LateResult<T> = RwSignal<Option<Arc<Dated<T>>>>;

/// Where the work stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Course {
    /// Not begun; it will be, once nothing has changed for a moment.
    Waiting,
    /// This many samples are done.
    Running {
        /// How many.
        done: usize,
    },
    /// Stopped by the builder.
    Stopped,
    /// All done.
    Done,
}

/// Late results and where the work stands.
#[derive(Clone, Copy)]
pub struct Late {
    /// Number of the present design.
    pub revision: RwSignal<u32>,
    /// Intervals, and which measurement to repeat.
    pub uncertainty: LateResult<Uncertainty>,
    /// Speeds, climb, glide, flight time.
    pub performance: LateResult<Performance>,
    /// Curves over speed and throttle.
    pub power: LateResult<PowerStudy>,
    /// What would end the conflicts of throws.
    pub remedies: LateResult<Vec<(Duty, Vec<Remedy>)>>,
    /// Bank by rudder with more and with less dihedral.
    pub dihedral: LateResult<Vec<DihedralChange>>,
    /// The sweep that was asked for last.
    pub sweep: RwSignal<Option<Sweep>>,
    /// Where the work stands.
    pub course: RwSignal<Course>,
    /// Whether workers failed, so that the page does the work itself.
    pub short_handed: RwSignal<bool>,
}

impl Late {
    /// Nothing computed yet.
    pub fn new() -> Self {
        Self {
            revision: RwSignal::new(0),
            uncertainty: RwSignal::new(None),
            performance: RwSignal::new(None),
            power: RwSignal::new(None),
            remedies: RwSignal::new(None),
            dihedral: RwSignal::new(None),
            sweep: RwSignal::new(None),
            course: RwSignal::new(Course::Waiting),
            short_handed: RwSignal::new(false),
        }
    }

    /// A result, if it is that of the present design.
    pub fn present<T: Send + Sync + 'static>(&self, of: LateResult<T>) -> Option<Arc<Dated<T>>> {
        let revision = self.revision.get();
        of.get().filter(|dated| dated.revision == revision)
    }

    /// How sure it all is, for the present design.
    pub fn sure(self) -> Signal<Option<Arc<Uncertainty>>> {
        Signal::derive(move || {
            let dated = self.present(self.uncertainty)?;
            Some(Arc::new(dated.result.clone()))
        })
    }

    /// How sure a quantity of the present design is.
    pub fn spread(&self, quantity: Quantity) -> Option<QuantitySpread> {
        let dated = self.present(self.uncertainty)?;
        dated.result.quantities.iter().find(|own| own.quantity == quantity).cloned()
    }
}
