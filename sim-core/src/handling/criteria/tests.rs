use super::*;

fn near(ours: f64, theirs: f64, relative: f64) {
    assert!((ours / theirs - 1.0).abs() < relative, "{ours} against {theirs}");
}

/// A tenth the size: the numbers worked by hand from the category B limits
/// and a root of ten, printed to three figures.
#[test]
fn froude_scaling_to_a_tenth() {
    let froude = froude_number(1.0);
    near(froude, 10.0, 1e-12);
    let mode = Oscillation { frequency_rad_s: 4.0, damping: 0.2 };
    let ratings = rate_dutch_roll(mode, Task::Cruise, froude);
    near(ratings[2].limits[0].min.unwrap(), 1.26, 5e-3);
    let roll = rate_roll_mode(0.1, Task::Cruise, froude).unwrap();
    near(roll.limits[0].max.unwrap(), 0.443, 2e-3);
    let spiral = rate_spiral(0.05, Task::Cruise, froude).unwrap();
    near(std::f64::consts::LN_2 / spiral.limits[0].max.unwrap(), 6.3, 5e-3);
}

#[test]
fn a_full_size_light_aeroplane_gets_the_printed_limits() {
    near(froude_number(10.18), 1.0, 1e-12);
    near(froude_number(f64::NAN), 1.0, 1e-12);
    let rating = rate_roll_mode(0.12, Task::Landing, 1.0).unwrap();
    assert_eq!(rating.limits[0].max, Some(1.0));
    assert_eq!(rating.level, Level::One);
}

/// A phugoid that doubles in 55 s is the last of level three: its growth is
/// damping ratio times frequency, whatever the frequency.
#[test]
fn the_worst_phugoid_doubles_in_55_s() {
    for frequency_rad_s in [0.1, 0.4, 2.0] {
        let level = |seconds: f64| {
            let damping = -growth_from_time_to_double(seconds) / frequency_rad_s;
            let mode = Oscillation { frequency_rad_s, damping };
            rate_phugoid(mode, Task::Cruise, 1.0).unwrap().level
        };
        assert_eq!((level(56.0), level(54.0)), (Level::Three, Level::Worse));
    }
    let damped = |damping| {
        let mode = Oscillation { frequency_rad_s: 0.3, damping };
        rate_phugoid(mode, Task::Cruise, 1.0).unwrap().level
    };
    assert_eq!((damped(0.05), damped(0.03)), (Level::One, Level::Two));
}

#[test]
fn levels_worsen_in_order_as_the_spiral_quickens() {
    let level = |seconds: f64| {
        rate_spiral(growth_from_time_to_double(seconds), Task::Cruise, 1.0).unwrap().level
    };
    assert_eq!(level(30.0), Level::One);
    assert_eq!(level(10.0), Level::Two);
    assert_eq!(level(5.0), Level::Three);
    assert_eq!(level(2.0), Level::Worse);
    let level_wings = rate_spiral(-0.1, Task::Cruise, 1.0).unwrap();
    assert_eq!(level_wings.level, Level::One);
}

#[test]
fn an_overdamped_pair_is_one_oscillation() {
    let pair = Oscillation::from_real_pair(-2.0, -8.0).unwrap();
    near(pair.frequency_rad_s, 4.0, 1e-12);
    near(pair.damping, 1.25, 1e-12);
    assert!(Oscillation::from_real_pair(2.0, -8.0).is_none());
    let swing = Oscillation::from_eigenvalue(-3.0, 4.0).unwrap();
    near(swing.frequency_rad_s, 5.0, 1e-12);
    near(swing.damping, 0.6, 1e-12);
    assert!(Oscillation::from_eigenvalue(0.0, 0.0).is_none());
}

/// Control anticipation carries the square of a frequency, so it grows by
/// N where a frequency grows by its root: a scaled aircraft keeps its level.
#[test]
fn a_scaled_aircraft_keeps_its_ratings() {
    let full = Oscillation { frequency_rad_s: 2.0, damping: 0.5 };
    let model = Oscillation { frequency_rad_s: 2.0 * 8.0_f64.sqrt(), damping: 0.5 };
    let big = rate_short_period(full, 5.0, Task::Aerobatics, 1.0);
    let small = rate_short_period(model, 5.0, Task::Aerobatics, 8.0);
    for (a, b) in big.iter().zip(&small) {
        assert_eq!(a.level, b.level);
        if let (Some(x), Some(y)) = (a.limits[0].min, b.limits[0].min) {
            near(b.value / y, a.value / x, 1e-12);
        }
    }
    assert_eq!(big.len(), 3);
}

#[test]
fn side_tells_too_much_from_too_little() {
    let heavy = Oscillation { frequency_rad_s: 5.0, damping: 1.5 };
    let ratings = rate_short_period(heavy, 5.0, Task::Aerobatics, 1.0);
    assert_eq!(ratings[0].side, Side::Above);
    assert_eq!(ratings[0].level, Level::Two);
    let growing = rate_pitch_divergence(1.0, Task::Cruise, 1.0).unwrap();
    assert_eq!((growing.level, growing.side), (Level::Worse, Side::Above));
    assert!(
        rate(Criterion::ResponseDelay, Task::Cruise, f64::NAN, [Band::OPEN; 3], Source::Estimate)
            .is_none()
    );
}
