use super::*;

/// A difference of up to a radian counts in full, from 2.1 rad on not at all, half-way
/// between by half; either way round.
#[test]
fn air_from_the_other_side_is_not_heard() {
    for (apart, share) in
        [(0.5, 1.0), (1.0, 1.0), (1.55, 0.5), (1.825, 0.25), (2.1, 0.0), (3.0, 0.0)]
    {
        assert!((heard(apart) - share * apart).abs() < 1e-12, "{apart}");
        assert_eq!(heard(-apart), -heard(apart));
    }
}

#[test]
fn differences_go_the_short_way_round() {
    for (angle, wanted) in [(0.3, 0.3), (-3.1, -3.1), (4.0, 4.0 - 2.0 * PI), (-6.0, 2.0 * PI - 6.0)]
    {
        assert!((wrapped(angle) - wanted).abs() < 1e-12, "{angle}");
    }
}
