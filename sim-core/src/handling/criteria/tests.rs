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

/// Value and limits of a rating, open ends as infinities.
fn check(rating: &Rating, value: f64, wanted: [(f64, f64); 3]) {
    let same = |a: f64, b: f64| a == b || (a - b).abs() < 1e-12 * b.abs();
    assert!(same(rating.value, value), "{rating:?}");
    for (band, (least, greatest)) in rating.limits.iter().zip(wanted) {
        let found = (band.min.unwrap_or(f64::NEG_INFINITY), band.max.unwrap_or(f64::INFINITY));
        assert!(same(found.0, least) && same(found.1, greatest), "{rating:?}");
    }
}

const ANY: (f64, f64) = (f64::NEG_INFINITY, f64::INFINITY);

fn least(values: [f64; 3]) -> [(f64, f64); 3] {
    values.map(|value| (value, f64::INFINITY))
}

/// All limits of class I as printed, and those of a model of a quarter the size:
/// damping ratios as they are, frequencies and growth twice, times half, control
/// anticipation four times.
#[test]
fn every_limit_is_the_printed_one_scaled_by_size() {
    let double = |seconds: f64| std::f64::consts::LN_2 / seconds;
    let mode = Oscillation { frequency_rad_s: 3.0, damping: 0.4 };
    for froude in [1.0f64, 4.0] {
        let root = froude.sqrt();
        for (task, damping, frequency, anticipation) in [
            (Task::Aerobatics, [(0.35, 1.3), (0.25, 2.0)], [1.0, 0.6], [0.28, 0.16]),
            (Task::Cruise, [(0.30, 2.0), (0.20, 2.0)], [0.0; 2], [0.085, 0.038]),
            (Task::Landing, [(0.35, 1.3), (0.25, 2.0)], [0.87, 0.6], [0.16, 0.096]),
        ] {
            let found = rate_short_period(mode, 5.0, task, froude);
            check(&found[0], 0.4, [damping[0], damping[1], (0.15, f64::INFINITY)]);
            let at_least = |value: f64| {
                if task == Task::Cruise { ANY } else { (value * root, f64::INFINITY) }
            };
            check(&found[1], 3.0, [at_least(frequency[0]), at_least(frequency[1]), ANY]);
            let [one, two] = anticipation.map(|value| value * froude);
            let bands = [(one, 3.6 * froude), (two, 10.0 * froude), (two, f64::INFINITY)];
            check(&found[2], 9.0 / 5.0, bands);
            assert_eq!(rate_short_period(mode, 0.0, task, froude).len(), 2);

            let worst = (f64::NEG_INFINITY, double(6.0) * root);
            let none = (f64::NEG_INFINITY, 0.0);
            check(&rate_pitch_divergence(0.1, task, froude).unwrap(), 0.1, [none, none, worst]);
            let grows = -double(55.0) * root / 3.0;
            check(&rate_phugoid(mode, task, froude).unwrap(), 0.4, least([0.04, 0.0, grows]));
        }
        for (task, damping, decay, frequency, roll, spiral, bank) in [
            (Task::Aerobatics, 0.19, 0.35, 1.0, [1.0, 1.4], 12.0, [60.0, 1.3, 1.7, 2.6]),
            (Task::Cruise, 0.08, 0.15, 0.4, [1.4, 3.0], 20.0, [60.0, 1.7, 2.5, 3.4]),
            (Task::Landing, 0.08, 0.15, 1.0, [1.0, 1.4], 12.0, [30.0, 1.3, 1.8, 2.6]),
        ] {
            let found = rate_dutch_roll(mode, task, froude);
            check(&found[0], 0.4, least([damping, 0.02, 0.0]));
            let [first, second, _] = least([decay * root, 0.05 * root, 0.0]);
            check(&found[1], 1.2, [first, second, ANY]);
            check(&found[2], 3.0, least([frequency * root, 0.4 * root, 0.4 * root]));
            let at_most = |seconds: f64| (0.0, seconds / root);
            let found = rate_roll_mode(0.2, task, froude).unwrap();
            check(&found, 0.2, [at_most(roll[0]), at_most(roll[1]), at_most(10.0)]);
            let growth =
                [spiral, 8.0, 4.0].map(|seconds| (f64::NEG_INFINITY, double(seconds) * root));
            check(&rate_spiral(0.01, task, froude).unwrap(), 0.01, growth);
            let found = rate_time_to_bank(0.9, task, froude).unwrap();
            check(&found, 0.9, [at_most(bank[1]), at_most(bank[2]), at_most(bank[3])]);
            let Criterion::TimeToBank { bank_angle_rad } = found.criterion else { panic!() };
            near(bank_angle_rad.to_degrees(), bank[0], 1e-12);
            // A delay is a delay at any size.
            let delay = rate_delay(0.05, task).unwrap();
            check(&delay, 0.05, [(0.0, 0.10), (0.0, 0.20), (0.0, 0.25)]);
        }
    }
}
