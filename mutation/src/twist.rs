//! Put into a copy of the core by `mutation`: every site of the source calls
//! [`twist`], which changes the value at the one site that is switched on.

use nalgebra::{Complex, DMatrix, DVector, Quaternion, Rotation3, SMatrix, UnitQuaternion};
use std::sync::atomic::{AtomicU32, Ordering};

const UNREAD: u32 = u32::MAX;
static ACTIVE: AtomicU32 = AtomicU32::new(UNREAD);

/// `value`, or what the mutant of this number makes of it: the environment
/// variable `FLEDGE_MUTANT` holds four times the site plus the kind.
#[inline(always)]
pub fn twist<T: Twist>(site: u32, value: T) -> T {
    let active = ACTIVE.load(Ordering::Relaxed);
    if active >> 2 != site && active != UNREAD { value } else { change(site, value) }
}

#[cold]
#[inline(never)]
fn change<T: Twist>(site: u32, value: T) -> T {
    let mut active = ACTIVE.load(Ordering::Relaxed);
    if active == UNREAD {
        let text = std::env::var("FLEDGE_MUTANT").unwrap_or_default();
        active = text.parse().unwrap_or(UNREAD - 1);
        ACTIVE.store(active, Ordering::Relaxed);
    }
    match (active >> 2 == site, active % 4) {
        (true, 0) => value.negated(),
        (true, 1) => value.doubled(),
        (true, 2) => value.turned(),
        _ => value,
    }
}

/// A value that can be got wrong.
pub trait Twist: Sized {
    /// The sign wrong; a condition or a rotation the wrong way round.
    fn negated(self) -> Self;
    /// Wrong by a factor of two.
    fn doubled(self) -> Self;
    /// In the wrong frame: of a vector forward and down are taken for each other.
    fn turned(self) -> Self {
        self.negated()
    }
}

impl Twist for f64 {
    fn negated(self) -> Self {
        -self
    }
    fn doubled(self) -> Self {
        2.0 * self
    }
}

impl Twist for bool {
    fn negated(self) -> Self {
        !self
    }
    fn doubled(self) -> Self {
        !self
    }
}

macro_rules! count {
    ($($kind:ty),*) => {
        $(impl Twist for $kind {
            fn negated(self) -> Self {
                self.wrapping_add(1)
            }
            fn doubled(self) -> Self {
                self.wrapping_mul(2)
            }
        })*
    };
}
count!(usize, u8, u32, i32, u64, i64);

impl<const R: usize, const C: usize> Twist for SMatrix<f64, R, C> {
    fn negated(self) -> Self {
        -self
    }
    fn doubled(self) -> Self {
        self * 2.0
    }
    fn turned(mut self) -> Self {
        if R == 3 {
            self.swap_rows(0, 2);
            self
        } else {
            -self
        }
    }
}

macro_rules! number {
    ($($kind:ty),*) => {
        $(impl Twist for $kind {
            fn negated(self) -> Self {
                -self
            }
            fn doubled(self) -> Self {
                self.clone() + self
            }
        })*
    };
}
number!(DMatrix<f64>, DVector<f64>, Complex<f64>, Quaternion<f64>);

macro_rules! rotation {
    ($($kind:ty),*) => {
        $(impl Twist for $kind {
            fn negated(self) -> Self {
                self.inverse()
            }
            fn doubled(self) -> Self {
                self * self
            }
        })*
    };
}
rotation!(Rotation3<f64>, UnitQuaternion<f64>);

impl Twist for crate::dynamics::Wrench {
    fn negated(self) -> Self {
        Self { force_body: -self.force_body, moment_body: -self.moment_body }
    }
    fn doubled(self) -> Self {
        self + self
    }
}

impl<T: Twist + Clone> Twist for &T {
    fn negated(self) -> Self {
        Box::leak(Box::new(self.clone().negated()))
    }
    fn doubled(self) -> Self {
        Box::leak(Box::new(self.clone().doubled()))
    }
    fn turned(self) -> Self {
        Box::leak(Box::new(self.clone().turned()))
    }
}
