//! Which measurement is worth repeating first?

use super::{ErrorSource, Quantity, Uncertainty};
use crate::math::ordered_by;

/// A measurement that is worth repeating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeat {
    /// What to measure again.
    pub source: ErrorSource,
    /// How good it is taken to be: one standard deviation, in its unit.
    pub deviation: f64,
    /// The answer that it makes most unsure.
    pub quantity: Quantity,
    /// Its share in the variance of that answer, 0 to 1.
    pub share: f64,
}

impl Uncertainty {
    /// The measurements that make the answers unsure, the one that matters most
    /// first: by the sum of their shares over all answers. Methods are left
    /// out, since nobody can measure them again.
    #[inline]
    pub fn measure_again(&self) -> Vec<Repeat> {
        let mut list: Vec<(f64, Repeat)> = Vec::new();
        for spread in &self.quantities {
            for part in spread.contributions.iter().filter(|part| part.source.is_measurement()) {
                let own = Repeat {
                    source: part.source,
                    deviation: part.deviation,
                    quantity: spread.quantity,
                    share: part.share,
                };
                match list.iter_mut().find(|(_, seen)| seen.source == part.source) {
                    Some((sum, seen)) => {
                        *sum += part.share;
                        if own.share > seen.share {
                            *seen = own;
                        }
                    }
                    None => list.push((part.share, own)),
                }
            }
        }
        ordered_by(&list, |(sum, _)| -sum).into_iter().map(|(_, own)| own).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Contribution, Method, QuantitySpread};
    use super::*;
    use crate::throws::sampling::Interval;

    fn spread(quantity: Quantity, parts: &[(ErrorSource, f64)]) -> QuantitySpread {
        let interval = Interval { low: 0.0, median: 1.0, high: 2.0, counted: 256, failed: 0 };
        let contributions = parts
            .iter()
            .map(|&(source, share)| Contribution { source, deviation: 0.01, share, grows: true })
            .collect();
        QuantitySpread { quantity, interval, contributions }
    }

    /// The weight stands behind both answers (0.3 + 0.4), the place behind one
    /// (0.6): the weight comes first, named with the answer it matters to most.
    #[test]
    fn what_matters_to_many_answers_comes_first() {
        let (mass, place) = (ErrorSource::PartMass(2), ErrorSource::PartPlace(1));
        let method = ErrorSource::Method(Method::NeutralPoint);
        let all = Uncertainty {
            samples: 256,
            quantities: vec![
                spread(Quantity::BalancePoint, &[(place, 0.6), (mass, 0.3)]),
                spread(Quantity::StallSpeed, &[(method, 0.5), (mass, 0.4)]),
            ],
        };
        let again = all.measure_again();
        assert_eq!(again.len(), 2);
        assert_eq!((again[0].source, again[0].quantity), (mass, Quantity::StallSpeed));
        assert_eq!((again[0].share, again[1].source), (0.4, place));
    }
}
