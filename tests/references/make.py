"""Works out the references in references.json with general-purpose libraries.

    python3 -m venv VENV && VENV/bin/pip install -r requirements.txt
    VENV/bin/python make.py

Nothing here knows our code: each value is worked out in another form of the
equations than ours, or by a library's own method. tests/validation/references.rs
compares. The input of each case stands beside its answer, so that both sides read
the same numbers.
"""

import datetime
import json
import math
import pathlib
import platform
import re

import numpy as np
import scipy
from scipy import integrate, linalg, signal, stats
from scipy.spatial.transform import Rotation

from lattice import joints

GRAVITY = 9.80665


def solve(rate, start, times, rtol=1e-12, atol=1e-12):
    run = integrate.solve_ivp(
        rate, (0.0, times[-1]), start, "DOP853", times, rtol=rtol, atol=atol
    )
    assert run.success, run.message
    return run.y.T


def tumbling():
    """A body without torque, its inertia tensor full, thrown into the air.

    In space: angular momentum is constant there, so the state is the rotation
    matrix alone, R' = R [I^-1 R^T H]x; ours integrates Euler's equations and a
    quaternion. The centre of gravity falls on a parabola.
    """
    inertia = np.array([[0.02, -0.004, 0.003], [-0.004, 0.05, -0.002], [0.003, -0.002, 0.06]])
    euler = [0.3, -0.2, 1.0]
    rates = np.array([3.0, 1.5, -2.0])
    velocity = np.array([3.0, -1.0, 2.0])
    start = Rotation.from_euler("ZYX", euler[::-1]).as_matrix()
    momentum = start @ inertia @ rates

    def spin(matrix):
        return np.linalg.solve(inertia, matrix.T @ momentum)

    def rate(_, flat):
        matrix = flat.reshape(3, 3)
        p, q, r = spin(matrix)
        cross = np.array([[0.0, -r, q], [r, 0.0, -p], [-q, p, 0.0]])
        return (matrix @ cross).ravel()

    times = np.arange(0.0, 11.0)
    samples = []
    for time, flat in zip(times, solve(rate, start.ravel(), times)):
        matrix = flat.reshape(3, 3)
        velocity_ned = start @ velocity + np.array([0.0, 0.0, GRAVITY * time])
        position = start @ velocity * time + np.array([0.0, 0.0, 0.5 * GRAVITY * time**2])
        samples.append(
            {
                "time_s": time,
                "position_ned": position,
                "velocity_body": matrix.T @ velocity_ned,
                "ned_from_body": matrix,
                "rates_body": spin(matrix),
            }
        )
    return {
        "mass_kg": 1.3,
        "inertia_body": inertia,
        "euler_bank_pitch_heading": euler,
        "velocity_body": velocity,
        "rates_body": rates,
        "samples": samples,
    }


# An aircraft by its derivatives, per rad: that of tests/src/airframes.rs.
AIRCRAFT = {
    "mass_kg": 13.5, "ix": 0.8244, "iy": 1.135, "iz": 1.759, "ixz": 0.1204,
    "area_m2": 0.55, "span_m": 2.8956, "chord_m": 0.18994, "thrust_max_n": 60.0,
    "lift": 0.28, "lift_alpha": 3.45, "lift_q": 4.0, "lift_elevator": -0.36,
    "drag": 0.0437, "induced": 0.0232, "pitch": -0.02338, "pitch_alpha": -0.38,
    "pitch_q": -3.6, "pitch_elevator": -0.5, "side_beta": -0.98, "side_rudder": -0.17,
    "roll_beta": -0.12, "roll_p": -0.26, "roll_r": 0.14, "roll_aileron": 0.08,
    "roll_rudder": 0.105, "yaw_beta": 0.25, "yaw_p": 0.022, "yaw_r": -0.35,
    "yaw_aileron": 0.06, "yaw_rudder": -0.032,
}  # fmt: skip


def flying():
    """Ten seconds of nonlinear flight in a steady wind.

    Twelve scalar equations with Euler angles as in textbooks: airspeed, angle of
    attack and sideslip from u, v, w less the wind; forces turned by sine and
    cosine by hand; the moment equations solved for p' and r' with the product of
    inertia. Ours has vectors, a quaternion and a 6x6 mass matrix.
    """
    k = AIRCRAFT
    density = 1.2
    wind = np.array([3.0, -4.0, 0.5])
    controls = {"elevator": -0.15, "aileron": -0.012, "rudder": 0.02, "throttle": 0.25}
    start = np.array([0.0, 0.0, -80.0, 24.0, 1.0, 2.0, 0.2, 0.1, 0.5, 0.3, 0.1, -0.1])

    def rate(_, state):
        u, v, w, phi, theta, psi, p, q, r = state[3:]
        sp, cp, st, ct, ss, cs = (
            f(x) for x in (phi, theta, psi) for f in (math.sin, math.cos)
        )
        # North, east, down from body: the rows of the textbook's matrix.
        north = [ct * cs, sp * st * cs - cp * ss, cp * st * cs + sp * ss]
        east = [ct * ss, sp * st * ss + cp * cs, cp * st * ss - sp * cs]
        down = [-st, sp * ct, cp * ct]
        ground = [sum(a * b for a, b in zip(row, (u, v, w))) for row in (north, east, down)]
        ua, va, wa = (
            x - (north[i] * wind[0] + east[i] * wind[1] + down[i] * wind[2])
            for i, x in enumerate((u, v, w))
        )
        speed = math.sqrt(ua * ua + va * va + wa * wa)
        alpha, beta = math.atan2(wa, ua), math.asin(va / speed)
        pressure = 0.5 * density * speed**2 * k["area_m2"]
        ph = p * k["span_m"] / (2 * speed)
        qh = q * k["chord_m"] / (2 * speed)
        rh = r * k["span_m"] / (2 * speed)
        de, da, dr = controls["elevator"], controls["aileron"], controls["rudder"]
        static = k["lift"] + k["lift_alpha"] * alpha + k["lift_elevator"] * de
        lift = pressure * (static + k["lift_q"] * qh)
        drag = pressure * (k["drag"] + k["induced"] * static**2)
        side = pressure * (k["side_beta"] * beta + k["side_rudder"] * dr)
        thrust = controls["throttle"] * k["thrust_max_n"]
        fx = thrust - drag * math.cos(alpha) + lift * math.sin(alpha)
        fz = -drag * math.sin(alpha) - lift * math.cos(alpha)
        rolling = pressure * k["span_m"] * (
            k["roll_beta"] * beta + k["roll_p"] * ph + k["roll_r"] * rh
            + k["roll_aileron"] * da + k["roll_rudder"] * dr
        )  # fmt: skip
        pitching = pressure * k["chord_m"] * (
            k["pitch"] + k["pitch_alpha"] * alpha + k["pitch_q"] * qh + k["pitch_elevator"] * de
        )
        yawing = pressure * k["span_m"] * (
            k["yaw_beta"] * beta + k["yaw_p"] * ph + k["yaw_r"] * rh
            + k["yaw_aileron"] * da + k["yaw_rudder"] * dr
        )  # fmt: skip
        m, ix, iy, iz, ixz = (k[name] for name in ("mass_kg", "ix", "iy", "iz", "ixz"))
        about_x = rolling + ixz * p * q - (iz - iy) * q * r
        about_z = yawing - ixz * q * r - (iy - ix) * p * q
        gamma = ix * iz - ixz * ixz
        return [
            *ground,
            r * v - q * w - GRAVITY * st + fx / m,
            p * w - r * u + GRAVITY * sp * ct + side / m,
            q * u - p * v + GRAVITY * cp * ct + fz / m,
            p + (q * sp + r * cp) * st / ct,
            q * cp - r * sp,
            (q * sp + r * cp) / ct,
            (iz * about_x + ixz * about_z) / gamma,
            (pitching - (ix - iz) * p * r - ixz * (p * p - r * r)) / iy,
            (ix * about_z + ixz * about_x) / gamma,
        ]

    times = np.arange(0.0, 11.0)
    samples = []
    for time, state in zip(times, solve(rate, start, times)):
        samples.append(
            {
                "time_s": time,
                "position_ned": state[:3],
                "velocity_body": state[3:6],
                "ned_from_body": Rotation.from_euler("ZYX", state[8:5:-1]).as_matrix(),
                "rates_body": state[9:],
            }
        )
    return {
        "aircraft": k, "density_kg_m3": density, "wind_ned": wind, "controls": controls,
        "start": start, "samples": samples,
    }  # fmt: skip


def matrices():
    """Eigenvalues, step responses and phi functions of given systems."""
    generator = np.random.default_rng(2511)
    transport = [
        [-0.006868, 0.01395, 0.0, -32.2],
        [-0.09055, -0.3151, 773.98, 0.0],
        [0.0001187, -0.001026, -0.4285, 0.0],
        [0.0, 0.0, 1.0, 0.0],
    ]
    light = [
        [-0.254, 0.0, -176.0, 32.2],
        [-0.09102, -8.40, 2.19, 0.0],
        [0.0255, -0.350, -0.760, 0.0],
        [0.0, 1.0, 0.0, 0.0],
    ]
    # (s + 1)^2 (s + 2)(s + 3) in companion form, but for a part in 1e9: two roots
    # that all but share their eigenvector.
    nearly = np.array(
        [[-7.0, -17.0, -17.0, -6.0], [1.0, 0, 0, 0], [0, 1.0, 0, 0], [0, 0, 1.0, 0]]
    )
    nearly[0, 3] += 1e-9
    units = np.diag([1e3, 1.0, 1e-3, 1.0])
    cases = {
        "large transport, longitudinal": transport,
        "light aeroplane, lateral": light,
        "nearly double root": nearly,
        "random": generator.uniform(-3, 3, (4, 4)) - 4 * np.eye(4),
        "random in mixed units": units @ (generator.uniform(-2, 2, (4, 4)) - 3 * np.eye(4))
        @ np.linalg.inv(units),
    }
    answers = []
    for name, a in cases.items():
        a = np.array(a, dtype=float)
        b = generator.uniform(-5, 5, 4)
        roots = sorted(linalg.eigvals(a), key=lambda root: (root.real, root.imag))
        times = np.arange(0, 501) / 100.0
        system = (a, b[:, None], np.eye(4), np.zeros((4, 1)))
        _, outputs, _ = signal.lsim(system, np.ones_like(times), times)
        # exp of the block matrix [[A, I, 0..], [0, 0, I..], ..] has phi_k on top.
        block = np.zeros((20, 20))
        block[:4, :4] = a / 4.0
        for k in range(4):
            block[4 * k : 4 * k + 4, 4 * k + 4 : 4 * k + 8] = np.eye(4)
        top = linalg.expm(block)[:4]
        frequencies = [0.1, 1.0, 7.0]
        c = generator.uniform(-1, 1, 4)
        gains = [
            c @ np.linalg.solve(1j * w * np.eye(4) - a, b.astype(complex)) for w in frequencies
        ]
        answers.append(
            {
                "name": name,
                "a": a,
                "b": b,
                "c": c,
                "roots": [[root.real, root.imag] for root in roots],
                "step": [
                    {"time_s": times[i], "states": outputs[i]} for i in (1, 10, 50, 200, 500)
                ],
                "phi_of_quarter": [top[:, 4 * k : 4 * k + 4] for k in range(5)],
                "frequencies_rad_s": frequencies,
                "gains": [[gain.real, gain.imag] for gain in gains],
            }
        )
    return answers


def wider():
    """Eigenvalues of larger matrices, one of them symmetric, one a rotation."""
    generator = np.random.default_rng(7)
    plain = generator.normal(size=(8, 8))
    rotation, _ = np.linalg.qr(generator.normal(size=(6, 6)))
    answers = []
    for name, a in {"normal": plain, "symmetric": plain + plain.T, "rotation": rotation}.items():
        roots = sorted(linalg.eigvals(a), key=lambda root: (root.real, root.imag))
        answers.append({"name": name, "a": a, "roots": [[r.real, r.imag] for r in roots]})
    return answers


def rotations():
    """Attitudes from bank, pitch and heading; wind axes from two angles."""
    generator = np.random.default_rng(3)
    attitudes = []
    for _ in range(12):
        bank, heading = generator.uniform(-3.1, 3.1, 2)
        pitch = generator.uniform(-1.5, 1.5)
        rotation = Rotation.from_euler("ZYX", [heading, pitch, bank])
        attitudes.append(
            {
                "bank_pitch_heading": [bank, pitch, heading],
                "matrix": rotation.as_matrix(),
                "quaternion_ijkw": rotation.as_quat(canonical=True),
            }
        )
    winds = []
    for _ in range(8):
        alpha, beta = generator.uniform(-3.1, 3.1), generator.uniform(-1.5, 1.5)
        winds.append(
            {
                "alpha_beta": [alpha, beta],
                "body_from_wind": Rotation.from_euler("YZ", [-alpha, beta]).as_matrix(),
                "body_from_stability": Rotation.from_euler("Y", -alpha).as_matrix(),
            }
        )
    return {"attitudes": attitudes, "winds": winds}


def inertia():
    """Parts of an aircraft cut into points that Gauss's rule makes exact.

    Two points along each edge integrate its square exactly. A tapered panel is
    cut along span and chord with ten: exact too, since it is a polynomial there.
    """
    rod = {"mass_kg": 0.05, "from": [0.1, 0.0, 0.02], "to": [0.5, 0.7, 0.12]}
    block = {"mass_kg": 0.2, "at": [0.15, 0.03, -0.02], "edges": [0.1, 0.035, 0.02]}
    point = {"mass_kg": 0.03, "at": [0.6, -0.1, 0.05]}
    panel = {
        "root": [0.2, 0.0, 0.05], "span_m": 0.6, "root_chord_m": 0.22, "tip_chord_m": 0.12,
        "sweep_deg": 12.0, "dihedral_deg": 6.0, "areal_density_kg_m2": 0.4,
    }  # fmt: skip
    cloud = []

    def put(mass, aft_right_up, mirrored):
        aft, right, up = aft_right_up
        cloud.append((mass, np.array([-aft, right, -up])))
        if mirrored:
            cloud.append((mass, np.array([-aft, -right, -up])))

    two = [0.5 - 0.5 / math.sqrt(3), 0.5 + 0.5 / math.sqrt(3)]
    ends = np.array(rod["from"]), np.array(rod["to"])
    for s in two:
        put(rod["mass_kg"] / 2, ends[0] + s * (ends[1] - ends[0]), True)
    for s in two:
        for t in two:
            for r in two:
                offset = (np.array([s, t, r]) - 0.5) * block["edges"]
                put(block["mass_kg"] / 8, np.array(block["at"]) + offset, False)
    put(point["mass_kg"], point["at"], False)
    nodes, weights = np.polynomial.legendre.leggauss(10)
    nodes, weights = 0.5 * (nodes + 1), 0.5 * weights
    rise = math.radians(panel["dihedral_deg"])
    for s, ws in zip(nodes, weights):
        chord = panel["root_chord_m"] + s * (panel["tip_chord_m"] - panel["root_chord_m"])
        along = s * panel["span_m"]
        for t, wt in zip(nodes, weights):
            mass = panel["areal_density_kg_m2"] * panel["span_m"] * chord * ws * wt
            aft = along * math.tan(math.radians(panel["sweep_deg"])) + t * chord
            place = panel["root"] + np.array([aft, along * math.cos(rise), along * math.sin(rise)])
            put(mass, place, True)

    mass = sum(m for m, _ in cloud)
    centre = sum(m * r for m, r in cloud) / mass
    tensor = sum(
        m * ((r - centre) @ (r - centre) * np.eye(3) - np.outer(r - centre, r - centre))
        for m, r in cloud
    )
    return {
        "rod": rod, "block": block, "point": point, "panel": panel,
        "mass_kg": mass, "centre_body": centre, "inertia_body": tensor,
    }  # fmt: skip


def statistics():
    """Normal quantiles at the edges of 64 equal shares, and percentiles."""
    values = np.random.default_rng(11).normal(3.0, 2.0, 41)
    return {
        "quantiles": stats.norm.ppf(np.arange(1, 64) / 64.0),
        "values": values,
        "percentiles_5_50_95": np.percentile(values, [5, 50, 95]),
    }


def plain(value):
    if isinstance(value, dict):
        return {name: plain(part) for name, part in value.items()}
    if isinstance(value, (list, tuple, np.ndarray)):
        return [plain(part) for part in value]
    return float(value) if isinstance(value, (float, np.floating)) else value


def main():
    answer = {
        "origin": {
            "script": "tests/references/make.py",
            "python": platform.python_version(),
            "numpy": np.__version__,
            "scipy": scipy.__version__,
            "date": datetime.date.today().isoformat(),
        },
        "tumbling": tumbling(),
        "flying": flying(),
        "systems": matrices(),
        "wider": wider(),
        "rotations": rotations(),
        "inertia": inertia(),
        "statistics": statistics(),
        "joints": joints(),
    }
    path = pathlib.Path(__file__).with_name("references.json")
    text = json.dumps(plain(answer), indent=1)
    path.write_text(compact(text) + "\n")


def compact(text):
    """JSON with each list of numbers on one line."""
    lists = re.compile(r"\[\s*(-?[0-9][^\[\]{}]*?)\s*\]")
    return lists.sub(lambda found: "[" + " ".join(found[1].split()) + "]", text)


main()
