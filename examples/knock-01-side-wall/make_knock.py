#!/usr/bin/env python3
"""Writes knock.wav: four invented knocks on a side wall, 44.1 kHz, 16 bits, with some noise of a room."""
import array
import math
import random
import wave

RATE, SECONDS = 44100, 9
# Frequency [Hz], Q, strength: three modes of the side, one of the air inside, one of the back.
MODES = [(212.0, 34, 0.5), (404.0, 41, 1.0), (431.0, 8, 0.4), (553.0, 38, 0.7), (689.0, 30, 0.35)]


def main():
    random.seed(7)
    samples = [random.gauss(0, 0.004) for _ in range(RATE * SECONDS)]
    for start in (0.6, 2.7, 4.8, 6.9):
        for f, q, strength in MODES:
            a, phase = 0.18 * strength * random.uniform(0.6, 1.4), random.uniform(0, 2 * math.pi)
            w, decay = 2 * math.pi * f, math.pi * f / q
            for i in range(int(1.2 * RATE)):
                t = i / RATE
                rise = 0.5 - 0.5 * math.cos(math.pi * min(t, 0.0015) / 0.0015)  # the knuckle touches for 1.5 ms
                samples[int(start * RATE) + i] += a * rise * math.exp(-decay * t) * math.sin(w * t + phase)
    with wave.open("knock.wav", "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(array.array("h", (int(32767 * max(-1, min(1, x))) for x in samples)).tobytes())


if __name__ == "__main__":
    main()
