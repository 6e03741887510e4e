//! Single numbers out of a response: what the throws are judged by.

use serde::Serialize;

use super::{Channel, StepResponse};

/// Bank whose time is taken, rad: the criterion of the military specification
/// for roll performance of small aircraft in flight phase C.
const BANK_TIMED_RAD: f64 = std::f64::consts::FRAC_PI_6;
/// Share of the response, at its end, over which a value counts as settled.
const TAIL_SHARE: f64 = 0.2;
/// A value has settled if in the tail it stays within this share of its peak.
const SETTLED_BAND: f64 = 0.05;
/// Rates below this, rad/s, are the noise of the loads, not a response.
const RATE_MIN_RAD_S: f64 = 1e-4;
/// Band about the final value for the settling time (5 % is the usual one in
/// control engineering).
const SETTLING_BAND: f64 = 0.05;

/// What a response comes to. Times count from the start of the input; changes
/// are from the trimmed values; a quantity that is not reached is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ResponseMetrics {
    /// Greatest roll rate by size, with its sign, rad/s.
    pub peak_roll_rate_rad_s: f64,
    /// Greatest pitch rate change by size, with its sign, rad/s.
    pub peak_pitch_rate_rad_s: f64,
    /// Greatest yaw rate by size, with its sign, rad/s.
    pub peak_yaw_rate_rad_s: f64,
    /// Time until the bank has changed by 30 deg, s.
    pub time_to_30_deg_bank_s: Option<f64>,
    /// Change of bank one second after the input, rad.
    pub bank_at_one_second_rad: Option<f64>,
    /// Greatest sideslip change by size, with its sign, rad.
    pub peak_sideslip_rad: f64,
    /// Sideslip change that is kept, rad, where it settles.
    pub steady_sideslip_rad: Option<f64>,
    /// Greatest load factor change by size, with its sign.
    pub peak_load_factor_change: f64,
    /// Load factor change over the stick that made it, in weights per full
    /// stick; `None` without a stick.
    pub load_factor_per_stick: Option<f64>,
    /// Greatest height lost, m, zero or positive.
    pub height_lost_m: f64,
    /// Overshoot of the channel's own rate over its final value, as a share of
    /// that; `None` where the rate does not settle.
    pub overshoot: Option<f64>,
    /// Time until the channel's own rate stays within 5 % of its final value,
    /// s; `None` where it does not settle.
    pub settling_time_s: Option<f64>,
}

/// The numbers of a response.
pub fn measure(response: &StepResponse) -> ResponseMetrics {
    let since: Vec<f64> = response.time_s.iter().map(|time| time - response.start_s).collect();
    let bank = change(&response.bank_rad);
    let sideslip = change(&response.beta_rad);
    let pitch_rate = change(&response.pitch_rate_rad_s);
    let roll_rate = change(&response.roll_rate_rad_s);
    let yaw_rate = change(&response.yaw_rate_rad_s);
    let peak_load_factor_change = peak(&change(&response.load_factor));
    let own_rate = match response.channel {
        Channel::Aileron => &roll_rate,
        Channel::Rudder => &yaw_rate,
        Channel::Elevator | Channel::Flap | Channel::Throttle => &pitch_rate,
    };
    let final_rate = settled(own_rate).filter(|_| peak(own_rate).abs() > RATE_MIN_RAD_S);
    ResponseMetrics {
        peak_roll_rate_rad_s: peak(&roll_rate),
        peak_pitch_rate_rad_s: peak(&pitch_rate),
        peak_yaw_rate_rad_s: peak(&yaw_rate),
        time_to_30_deg_bank_s: first_crossing(&since, &bank, BANK_TIMED_RAD),
        bank_at_one_second_rad: at(&since, &bank, 1.0),
        peak_sideslip_rad: peak(&sideslip),
        steady_sideslip_rad: settled(&sideslip),
        peak_load_factor_change,
        load_factor_per_stick: (response.input_is_stick && response.input != 0.0)
            .then(|| peak_load_factor_change / response.input),
        height_lost_m: response
            .height_change_m
            .iter()
            .fold(0.0, |lost, gained| f64::max(lost, -gained)),
        overshoot: final_rate.and_then(|last| overshoot(own_rate, last)),
        settling_time_s: final_rate.and_then(|last| settling_time(&since, own_rate, last)),
    }
}

fn change(values: &[f64]) -> Vec<f64> {
    let start = values.first().copied().unwrap_or(0.0);
    values.iter().map(|value| value - start).collect()
}

fn peak(values: &[f64]) -> f64 {
    values.iter().fold(0.0, |peak: f64, &value| if value.abs() > peak.abs() { value } else { peak })
}

/// Value at a time, between samples along the line.
fn at(times: &[f64], values: &[f64], time: f64) -> Option<f64> {
    let after = times.partition_point(|&sample| sample < time - 1e-9);
    let (&upper, &value) = (times.get(after)?, values.get(after)?);
    if after == 0 {
        return Some(value);
    }
    let (lower, before) = (times[after - 1], values[after - 1]);
    Some(before + (value - before) * ((time - lower) / (upper - lower)).min(1.0))
}

/// Time at which the size of the values first reaches `level`.
fn first_crossing(times: &[f64], values: &[f64], level: f64) -> Option<f64> {
    let after = values.iter().position(|value| value.abs() >= level)?;
    if after == 0 {
        return Some(times[0]);
    }
    let (before, reached) = (values[after - 1].abs(), values[after].abs());
    let share = (level - before) / (reached - before);
    Some(times[after - 1] + share * (times[after] - times[after - 1]))
}

/// Mean over the tail, if the values stay near it there.
fn settled(values: &[f64]) -> Option<f64> {
    let count = ((values.len() as f64 * TAIL_SHARE).ceil() as usize).max(1);
    let tail = &values[values.len().checked_sub(count)?..];
    let mean = tail.iter().sum::<f64>() / tail.len() as f64;
    let band = SETTLED_BAND * peak(values).abs();
    tail.iter().all(|value| (value - mean).abs() <= band).then_some(mean)
}

/// Peak beyond the final value over the final value; `None` where the final
/// value is lost in the band, so that the ratio means nothing.
fn overshoot(values: &[f64], last: f64) -> Option<f64> {
    let most = values.iter().fold(0.0, |most: f64, value| most.max(value * last.signum()));
    (last.abs() > SETTLED_BAND * peak(values).abs()).then(|| most / last.abs() - 1.0)
}

fn settling_time(times: &[f64], values: &[f64], last: f64) -> Option<f64> {
    let band = SETTLING_BAND * last.abs();
    let outside = values.iter().rposition(|value| (value - last).abs() > band)?;
    times.get(outside + 1).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A first-order rise of the roll rate to 2 rad/s at 5 1/s; its bank is
    /// 2 (t - (1 - e^-5t) / 5).
    fn roll() -> StepResponse {
        let time_s: Vec<f64> = (0..=400).map(|step| 0.005 * f64::from(step)).collect();
        let roll_rate_rad_s: Vec<f64> =
            time_s.iter().map(|t| 2.0 * (1.0 - (-5.0 * t).exp())).collect();
        let bank_rad = time_s.iter().map(|t| 2.0 * (t - (1.0 - (-5.0 * t).exp()) / 5.0)).collect();
        let zero = vec![0.0; time_s.len()];
        StepResponse {
            channel: Channel::Aileron,
            deflection: zero.clone(),
            airspeed_m_s: zero.clone(),
            alpha_rad: zero.clone(),
            beta_rad: zero.clone(),
            pitch_rate_rad_s: zero.clone(),
            yaw_rate_rad_s: zero.clone(),
            pitch_rad: zero.clone(),
            heading_rad: zero.clone(),
            load_factor: vec![1.0; time_s.len()],
            side_load_factor: zero.clone(),
            height_change_m: time_s.iter().map(|t| -0.25 * t * t).collect(),
            input: -0.2,
            input_is_stick: false,
            start_s: 0.0,
            load_calls: 0,
            time_s,
            roll_rate_rad_s,
            bank_rad,
        }
    }

    #[test]
    fn a_first_order_rise_is_read_right() {
        let metrics = measure(&roll());
        let bank_at_one = 2.0 * (1.0 - (1.0 - (-5f64).exp()) / 5.0);
        assert!((metrics.bank_at_one_second_rad.unwrap() - bank_at_one).abs() < 1e-12);
        // The closed form has 30 deg at the time that was read.
        let time = metrics.time_to_30_deg_bank_s.unwrap();
        let reached = 2.0 * (time - (1.0 - (-5.0 * time).exp()) / 5.0);
        assert!((reached - BANK_TIMED_RAD).abs() < 1e-5);
        // Within 5 % of the final value after ln 20 over 5 seconds.
        let settling = metrics.settling_time_s.unwrap();
        assert!((settling - 20f64.ln() / 5.0).abs() < 0.01, "{settling}");
        assert!(metrics.overshoot.unwrap() < 1e-3);
        assert!((metrics.height_lost_m - 1.0).abs() < 1e-12);
        assert_eq!(metrics.load_factor_per_stick, None);
    }

    #[test]
    fn what_is_not_reached_is_not_told() {
        let mut short = roll();
        let cut = |values: &mut Vec<f64>| values.truncate(20);
        cut(&mut short.time_s);
        cut(&mut short.bank_rad);
        cut(&mut short.roll_rate_rad_s);
        let metrics = measure(&short);
        assert_eq!(metrics.time_to_30_deg_bank_s, None);
        assert_eq!(metrics.bank_at_one_second_rad, None);
        assert_eq!(metrics.overshoot, None);
    }

    /// Times and changes count from the start of the input: the same motion a
    /// while later has the same numbers.
    #[test]
    fn a_later_start_changes_nothing() {
        let now = measure(&roll());
        let mut later = roll();
        let before = 80;
        let extend = |values: &mut Vec<f64>| {
            let first = values[0];
            values.splice(0..0, std::iter::repeat_n(first, before));
        };
        for values in [
            &mut later.deflection,
            &mut later.alpha_rad,
            &mut later.beta_rad,
            &mut later.roll_rate_rad_s,
            &mut later.pitch_rate_rad_s,
            &mut later.yaw_rate_rad_s,
            &mut later.bank_rad,
            &mut later.load_factor,
            &mut later.height_change_m,
        ] {
            extend(values);
        }
        later.start_s = 0.005 * before as f64;
        later.time_s = (0..later.bank_rad.len()).map(|step| 0.005 * step as f64).collect();
        let then = measure(&later);
        let close = |a: Option<f64>, b: Option<f64>| (a.unwrap() - b.unwrap()).abs() < 1e-9;
        assert!(close(then.bank_at_one_second_rad, now.bank_at_one_second_rad));
        assert!(close(then.time_to_30_deg_bank_s, now.time_to_30_deg_bank_s));
        // The tail, a share of the whole, is a little longer.
        let settling = then.settling_time_s.unwrap() - now.settling_time_s.unwrap();
        assert!(settling.abs() < 0.01, "{settling}");
        assert_eq!(then.peak_roll_rate_rad_s, now.peak_roll_rate_rad_s);
    }

    /// A damped swing about 1, 1 - e^-t (cos wt + sin wt / w): its overshoot is
    /// e^(-pi / w), its end in the tail the mean there.
    #[test]
    fn a_damped_swing_is_read_right() {
        let mut response = roll();
        let w = 4.0;
        let time_s: Vec<f64> = (0..=2000).map(|step| 0.005 * f64::from(step)).collect();
        let rate: Vec<f64> = time_s
            .iter()
            .map(|t| -1.5 * (1.0 - (-t).exp() * ((w * t).cos() + (w * t).sin() / w)))
            .collect();
        let still = vec![0.0; time_s.len()];
        response.bank_rad = still.clone();
        response.pitch_rate_rad_s = still.clone();
        response.yaw_rate_rad_s = still.clone();
        response.height_change_m = time_s.iter().map(|t| (0.5 * t).sin()).collect();
        response.load_factor = time_s.iter().map(|t| 1.0 + 0.3 * (-t).exp() * t).collect();
        response.beta_rad = rate.iter().map(|rate| 0.05 + 0.1 * rate).collect();
        response.roll_rate_rad_s = rate;
        response.time_s = time_s;
        (response.input, response.input_is_stick) = (-0.5, true);
        let metrics = measure(&response);
        let most = (-std::f64::consts::PI / w).exp();
        assert!((metrics.overshoot.unwrap() - most).abs() < 1e-3, "{metrics:?}");
        assert!((metrics.peak_roll_rate_rad_s + 1.5 * (1.0 + most)).abs() < 1e-3);
        assert!((metrics.steady_sideslip_rad.unwrap() + 0.15).abs() < 1e-4);
        assert!((metrics.peak_sideslip_rad + 0.15 * (1.0 + most)).abs() < 1e-4);
        // The last time outside 5 %: a half wave n with e^(-n pi / w) just above.
        let settling = metrics.settling_time_s.unwrap();
        let envelope = (1.0 + 1.0 / (w * w)).sqrt() * (-settling).exp();
        assert!(envelope > 0.05 && envelope < 0.05 * std::f64::consts::PI.exp(), "{settling}");
        let left = (-settling).exp() * ((w * settling).cos() + (w * settling).sin() / w);
        assert!((left.abs() - 0.05).abs() < 1e-3, "{left}");
        // t e^-t is 1 / e at 1 s; it is told per stick, which was pushed.
        let change = 0.3 / std::f64::consts::E;
        assert!((metrics.peak_load_factor_change - change).abs() < 1e-6);
        assert!((metrics.load_factor_per_stick.unwrap() + 2.0 * change).abs() < 1e-5);
        // Of a sine the height lost is what lies below the start.
        assert!((metrics.height_lost_m - 1.0).abs() < 1e-4, "{}", metrics.height_lost_m);
    }

    #[test]
    fn what_does_not_settle_has_no_end() {
        // 6 % of the peak up and down in the tail is not settled; 4 % is.
        let swing =
            |share: f64| -> Vec<f64> {
                (0..100)
                    .map(|k| {
                        if k < 50 { 1.0 } else { 0.9 + share * if k % 2 == 0 { 1.0 } else { -1.0 } }
                    })
                    .collect()
            };
        assert_eq!(settled(&swing(0.06)), None);
        assert!((settled(&swing(0.04)).unwrap() - 0.9).abs() < 1e-9);
        // The tail is a fifth: what happened before does not count.
        let late: Vec<f64> = (0..100).map(|k| if k < 80 { 0.0 } else { 1.0 }).collect();
        assert_eq!(settled(&late), Some(1.0));
        let later: Vec<f64> = (0..100).map(|k| if k < 81 { 0.0 } else { 1.0 }).collect();
        assert_eq!(settled(&later), None);
    }

    /// Between samples along the line, before the first one its value, after the last
    /// one none.
    #[test]
    fn values_lie_between_samples() {
        let (times, values) = ([0.5, 1.0, 2.0], [1.0, 3.0, 11.0]);
        for (time, value) in
            [(0.2, Some(1.0)), (0.5, Some(1.0)), (0.6, Some(1.4)), (1.25, Some(5.0)), (2.1, None)]
        {
            let found = at(&times, &values, time);
            assert_eq!(found.is_some(), value.is_some(), "{time}");
            let off = found.zip(value).map_or(0.0, |(found, value)| (found - value).abs());
            assert!(off < 1e-12, "{time}: {found:?}");
        }
    }

    /// A rate that ends below a twentieth of its peak has no end to overshoot, one
    /// above has; a rate of a ten-thousandth is noise.
    #[test]
    fn small_ends_and_small_rates_say_nothing() {
        assert_eq!(overshoot(&[0.0, -2.0, -0.09], -0.09), None);
        assert!(
            (overshoot(&[0.0, -2.0, -0.11], -0.11).unwrap() - (2.0 / 0.11 - 1.0)).abs() < 1e-12
        );
        for (peak, told) in [(0.8e-4, false), (1.2e-4, true)] {
            let mut slow = roll();
            slow.roll_rate_rad_s.iter_mut().for_each(|rate| *rate *= 0.5 * peak);
            assert_eq!(measure(&slow).settling_time_s.is_some(), told, "{peak}");
        }
    }
}
