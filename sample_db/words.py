"""Short notes in the families' own words, beside the few tests that they said something about."""

from __future__ import annotations

from sample_db.script import Noted, Step

TILDES_WORDS: tuple[Step, ...] = (
    Noted("2025-09-08T21:01", "first day back at school"),
    Noted("2025-09-09T20:29", "birthday cake"),
    Noted("2025-09-10T02:19", "woke her, drank juice"),
    Noted("2025-09-16T18:32", "wobbly in the changing room"),
    Noted("2025-10-04T12:09", "late breakfast, long walk"),
    Noted("2025-10-10T02:40", "asleep again by three"),
    Noted("2025-10-22T20:28", "pizza at Ines's"),
    Noted("2025-11-14T02:01", "damp and cold, woke at once"),
    Noted("2025-11-25T14:09", "class party"),
    Noted("2025-12-16T02:24", "heard her moving about"),
    Noted("2026-01-22T18:23", "quiet in the car"),
    Noted("2026-01-23T20:15", "noodles, guessed the bowl"),
    Noted("2026-02-09T07:05", "hot and tired, stays at home"),
    Noted("2026-02-12T18:29", "ate a whole plate"),
    Noted("2026-03-06T02:35", "alarm set because of the swim"),
    Noted("2026-04-14T12:09", "ran all break"),
    Noted("2026-05-04T02:12", "could not sleep, checked"),
    Noted("2026-05-20T21:11", "two spoons of rice all day"),
    Noted("2026-05-24T18:16", "beach, she noticed it herself"),
    Noted("2026-06-11T20:16", "street fair"),
    Noted("2026-07-02T08:01", "slept in"),
    Noted("2026-07-20T02:48", "hot night, window open"),
)

CORWINS_WORDS: tuple[Step, ...] = (
    Noted("2025-11-27T22:04", "Thanksgiving, two plates"),
    Noted("2025-11-29T18:04", "rode into the wind"),
    Noted("2025-12-08T08:25", "first tablets this morning"),
    Noted("2025-12-10T14:14", "steroid tablets, day three"),
    Noted("2026-01-26T08:23", "sore throat, honey in the tea"),
    Noted("2026-03-29T12:25", "shoveled the whole drive"),
    Noted("2026-04-02T06:14", "no supper last night"),
    Noted("2026-04-24T19:58", "fish fry"),
    Noted("2026-05-15T19:57", "dinner at the neighbors'"),
    Noted("2026-06-27T06:09", "landed, no sleep"),
    Noted("2026-08-11T06:04", "mowed until dark"),
    Noted("2026-08-21T19:51", "peach pie"),
)
