//! Put into a copy of the core by `mutation`: every site of the source calls
//! [`twist`], which changes the value at the one site that is switched on.

use nalgebra::{Complex, DMatrix, DVector, Quaternion, Rotation3, SMatrix, UnitQuaternion};
use std::fs::{File, OpenOptions};
use std::io::Write;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Mutex, OnceLock};

/// How many sites there are: written in with the copy.
const SITES: usize = 0;
const UNREAD: u32 = u32::MAX;
/// No mutant; the places that are come by are noted in the file `FLEDGE_VISITS`.
const NOTE: u32 = u32::MAX - 1;
const NONE: u32 = u32::MAX - 2;
static ACTIVE: AtomicU32 = AtomicU32::new(UNREAD);

/// `value`, or what the mutant of this number makes of it: the environment
/// variable `FLEDGE_MUTANT` holds four times the site plus the kind.
#[inline(always)]
pub fn twist<T: Twist>(site: u32, value: T) -> T {
    let active = ACTIVE.load(Ordering::Relaxed);
    if active >> 2 != site && active < NOTE { value } else { change(site, value) }
}

#[cold]
#[inline(never)]
fn change<T: Twist>(site: u32, value: T) -> T {
    let active = match ACTIVE.load(Ordering::Relaxed) {
        UNREAD => read(),
        active => active,
    };
    if active == NOTE {
        note(site);
        return value;
    }
    match (active >> 2 == site, active % 4) {
        (true, 0) => value.negated(),
        (true, 1) => value.doubled(),
        (true, 2) => value.turned(),
        _ => value,
    }
}

fn read() -> u32 {
    let active = match std::env::var("FLEDGE_MUTANT") {
        Ok(text) => text.parse().unwrap_or(NONE),
        Err(_) if std::env::var_os("FLEDGE_VISITS").is_some() => NOTE,
        Err(_) => NONE,
    };
    ACTIVE.store(active, Ordering::Relaxed);
    active
}

/// Writes the number of a place, once.
fn note(site: u32) {
    static SEEN: [AtomicBool; SITES] = [const { AtomicBool::new(false) }; SITES];
    static VISITS: OnceLock<Option<Mutex<File>>> = OnceLock::new();
    let Some(seen) = SEEN.get(site as usize) else { return };
    if seen.load(Ordering::Relaxed) || seen.swap(true, Ordering::Relaxed) {
        return;
    }
    let visits = VISITS.get_or_init(|| {
        let path = std::env::var_os("FLEDGE_VISITS")?;
        OpenOptions::new().create(true).append(true).open(path).ok().map(Mutex::new)
    });
    if let Some(mut file) = visits.as_ref().and_then(|file| file.lock().ok()) {
        let _ = writeln!(file, "{site}");
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
