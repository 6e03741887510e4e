//! Derivatives of airframes whose derivatives are known.

use super::*;

/// By hand: q S = 10 Pa x 2 m2 = 20 N; p b/2V = p / 8 s for b = 1 m, V = 4 m/s.
#[test]
fn dimensional_derivatives_follow_from_pressure_and_sizes() {
    let point = FlightPoint {
        airspeed_m_s: 4.0,
        alpha_rad: 0.0,
        beta_rad: 0.0,
        density_kg_m3: 1.25,
        kinematic_viscosity_m2_s: 1.5e-5,
        controls: Controls::default(),
    };
    let sizes = ReferenceSizes { area_m2: 2.0, span_m: 1.0, chord_m: 0.5 };
    let mut taken = Derivatives {
        at_reference: Coefficients::default(),
        by_speed: Coefficients::default(),
        by_alpha: Coefficients::default(),
        by_beta: Coefficients::default(),
        by_roll_rate: Coefficients::default(),
        by_pitch_rate: Coefficients::default(),
        by_yaw_rate: Coefficients::default(),
        by_alpha_rate: Coefficients::default(),
        by_elevator: Coefficients::default(),
        by_aileron: Coefficients::default(),
        by_rudder: Coefficients::default(),
        by_flap: Coefficients::default(),
    };
    taken.by_alpha.lift = 5.0;
    taken.by_alpha.pitching_moment = -1.0;
    taken.by_roll_rate.rolling_moment = -0.4;
    taken.by_speed.lift = 0.4;
    taken.at_reference.lift = 0.3;
    taken.by_yaw_rate = Coefficients {
        lift: 1.0,
        drag: 2.0,
        side_force: 3.0,
        rolling_moment: 4.0,
        pitching_moment: 5.0,
        yawing_moment: 6.0,
    };
    let found = taken.dimensional(&point, &sizes);
    let of = |cause| found.iter().find(|row| row.cause == cause).unwrap();
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} for {b}");
    close(of(Cause::Alpha).lift_n, 100.0);
    close(of(Cause::Alpha).pitching_moment_n_m, -10.0);
    close(of(Cause::RollRate).rolling_moment_n_m, -20.0 * 0.4 / 8.0);
    close(of(Cause::Speed).lift_n, 5.0);
    let yaw = of(Cause::YawRate);
    let forces = [yaw.lift_n, yaw.drag_n, yaw.side_force_n];
    let moments = [yaw.rolling_moment_n_m, yaw.pitching_moment_n_m, yaw.yawing_moment_n_m];
    for (found, wanted) in forces.into_iter().chain(moments).zip([1.0, 2.0, 3.0, 4.0, 2.5, 6.0]) {
        close(found, 20.0 / 8.0 * wanted);
    }
}

/// Coefficients of known slope in every cause, by published-looking numbers of
/// our own, all different.
struct Linear {
    point: FlightPoint,
    sizes: ReferenceSizes,
}

const CAUSES: usize = 9;

fn steady(coefficient: usize) -> f64 {
    [0.5, 0.06, 0.01, -0.02, 0.03, -0.015][coefficient]
}

fn slope(coefficient: usize, cause: usize) -> f64 {
    let size = 0.3 + 0.37 * coefficient as f64 + 0.11 * cause as f64;
    if (coefficient + cause).is_multiple_of(2) { size } else { -size }
}

impl Airframe for Linear {
    fn mass_kg(&self) -> f64 {
        1.0
    }

    fn inertia_body(&self) -> Matrix3<f64> {
        Matrix3::identity()
    }

    fn added_mass(&self, density_kg_m3: f64) -> nalgebra::Matrix6<f64> {
        // 0.2 m3 of air against motion along the stability z axis, and a
        // moment about y of 0.05 m4 of air.
        let (sin, cos) = self.point.alpha_rad.sin_cos();
        let down = Vector3::new(-sin, 0.0, cos);
        let mut matrix = nalgebra::Matrix6::zeros();
        let force = down * down.transpose() * (0.2 * density_kg_m3);
        matrix.fixed_view_mut::<3, 3>(0, 0).copy_from(&force);
        let moment = Vector3::y() * down.transpose() * (0.05 * density_kg_m3);
        matrix.fixed_view_mut::<3, 3>(3, 0).copy_from(&moment);
        matrix
    }

    fn loads(&self, air: &AirState, controls: &Controls) -> Wrench {
        let (v, sizes) = (air.velocity_body, &self.sizes);
        let speed = v.norm();
        let alpha = v.z.atan2(v.x);
        let rates = stability_from_body(self.point.alpha_rad) * air.rates_body / (2.0 * speed);
        let causes: [f64; CAUSES] = [
            alpha - self.point.alpha_rad,
            (v.y / speed).asin() - self.point.beta_rad,
            rates.x * sizes.span_m,
            rates.y * sizes.chord_m,
            rates.z * sizes.span_m,
            controls.elevator_rad - self.point.controls.elevator_rad,
            controls.aileron_rad,
            controls.rudder_rad,
            controls.flap_rad,
        ];
        // Bent about the point, where the bend has no slope.
        let bend = 0.7 * causes[0] * causes[0];
        let c: Vec<f64> = (0..6)
            .map(|k| steady(k) + bend + (0..CAUSES).map(|j| slope(k, j) * causes[j]).sum::<f64>())
            .collect();
        let area = 0.5 * air.density_kg_m3 * speed * speed * sizes.area_m2;
        let moment = Vector3::new(sizes.span_m * c[3], sizes.chord_m * c[4], sizes.span_m * c[5]);
        let body = |alpha: f64| stability_from_body(alpha).transpose();
        Wrench {
            force_body: body(alpha) * Vector3::new(-c[1], c[2], -c[0]) * area,
            moment_body: body(self.point.alpha_rad) * moment * area,
        }
    }
}

/// Every derivative of an airframe whose derivatives are known is found, each
/// at its place: lift and drag across and along the air, moments about fixed
/// axes, none by speed.
#[test]
fn known_derivatives_are_found() {
    let controls = Controls { elevator_rad: 0.05, ..Controls::default() };
    let point = FlightPoint {
        airspeed_m_s: 14.0,
        alpha_rad: 0.15,
        beta_rad: 0.04,
        density_kg_m3: 1.1,
        kinematic_viscosity_m2_s: 1.5e-5,
        controls,
    };
    let sizes = ReferenceSizes { area_m2: 0.4, span_m: 1.7, chord_m: 0.24 };
    let airframe = Linear { point, sizes };
    let found = derivatives(&airframe, &point, &sizes);
    let list = |c: &Coefficients| {
        [c.lift, c.drag, c.side_force, c.rolling_moment, c.pitching_moment, c.yawing_moment]
    };
    let check = |what: &str, found: &Coefficients, wanted: &dyn Fn(usize) -> f64| {
        for (k, value) in list(found).into_iter().enumerate() {
            assert!((value - wanted(k)).abs() < 1e-8, "{what} {k}: {value} {}", wanted(k));
        }
    };
    check("at reference", &found.at_reference, &steady);
    check("speed", &found.by_speed, &|_| 0.0);
    let causes = [
        &found.by_alpha,
        &found.by_beta,
        &found.by_roll_rate,
        &found.by_pitch_rate,
        &found.by_yaw_rate,
        &found.by_elevator,
        &found.by_aileron,
        &found.by_rudder,
        &found.by_flap,
    ];
    for (j, by) in causes.into_iter().enumerate() {
        check(&format!("cause {j}"), by, &|k| slope(k, j));
    }
    // Force m w' with w' = V alpha' over q S per alpha' c / 2V: 4 m / (S c),
    // m in m3 of air; the moment 4 k / (S c2), nose down.
    let lag = [4.0 * 0.2 / (0.4 * 0.24), -4.0 * 0.05 / (0.4 * 0.24 * 0.24)];
    check("alpha rate", &found.by_alpha_rate, &|k| match k {
        0 => lag[0],
        4 => lag[1],
        _ => 0.0,
    });
}
