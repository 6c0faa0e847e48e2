#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes the seeds of the stream fuzz targets from the fault catalogue's streams and FFmpeg's.

    make_stream_seeds.py    writes into seeds/ beside this script
"""
import pathlib
import subprocess
import sys
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "stream"))
import faults  # noqa: E402
import make_streams  # noqa: E402

KINDS = {"mpeg2_mp2": 1, "avc_aac": 2, "hevc_main_10": 3, "ac3_5_1": 8, "eac3_5_1": 9}


def write(folder, name, data):
    path = HERE / "seeds" / folder
    path.mkdir(parents=True, exist_ok=True)
    (path / name).write_bytes(data)


def sections():
    every = {"pat": faults.pat(), "pmt": faults.pmt(descriptors=bytes([5, 4]) + b"CUEI"), "sdt": faults.sdt(),
             "nit": faults.nit(), "eit": faults.eit(0), "tdt": faults.tdt(), "tot": faults.tot(), "cat": faults.cat(),
             "channels": faults.section(0xC8, 1, bytes([0, 1]) + b"\0A" * 7 + bytes(18) + b"\xfc\0"),
             "located": faults.section(0xC8, 1, bytes([0, 1]) + b"\0A" * 7 + bytes(16) + bytes([0xFC, 17, 0xA1, 15, 0xE0, 0x31,
                 2, 2, 0xE0, 0x31, 0, 0, 0, 0x81, 0xE0, 0x34]) + b"eng" + bytes([0xFC, 0])),
             "stills": faults.section(2, 1, bytes([0xE1, 0, 0xF0, 0, 0x1B, 0xE1, 0, 0xF0, 6, 0x28, 4, 100, 0, 40, 0xBF,
                 0x15, 0xE1, 1, 0xF0, 11, 0x26, 9, 1, 0, 0xFF]) + b"KLVA" + bytes([0, 15])),
             "guide": faults.section(0xC7, 1, bytes([0, 0, 1, 0, 0, 0xFF, 0xFB, 0xE0, 0, 0, 0, 9, 0xF0, 0]))}
    for name, data in every.items():
        write("section", name, data)


def streams(folder):
    for title, kind in KINDS.items():
        options, differs = make_streams.STREAMS[title]
        make_streams.make(folder, title, options, {**differs, "size": "64x64", "seconds": "0.2"})
        data = (folder / f"{title}.ts").read_bytes()
        write("stream", title, bytes([99]) + data[:188 * 40])
        starts = [at for at in range(0, len(data), 188) if data[at + 1] & 0x40 and data[at + 1] & 0x1F == 1]
        for n, at in enumerate(starts[:2]):
            field = 1 + data[at + 4] if data[at + 3] & 0x20 else 0
            write("es_header", f"{title}_{n}", bytes([kind]) + data[at + 4 + field:at + 188])


def pictures(folder):
    """Kinds that FFmpeg puts into no transport stream as the standards say."""
    source = ["ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i", "testsrc2=size=64x64", "-frames:v", "1"]
    subprocess.run(source + ["-c:v", "libaom-av1", "-cpu-used", "8", folder / "one.obu"], check=True)
    subprocess.run(source + ["-c:v", "libopenjpeg", "-format", "j2k", "-f", "image2", "-update", "1", folder / "one.j2k"], check=True)
    units = (folder / "one.obu").read_bytes()
    write("es_header", "av1", bytes([20]) + units[:400])
    write("es_header", "av1_start_codes", bytes([20]) + b"\0\0\1" + units[:2] + b"\0\0\1" + units[2:400])
    head = b"elsmfrat\x03\xe9\x75\x30brat" + bytes(8) + b"tcod" + bytes(4) + b"bcol\x03\0"
    write("es_header", "jpeg2000", bytes([21]) + head + (folder / "one.j2k").read_bytes()[:200])


def damaged():
    base = faults.Stream(20_304, 0.3)
    for name in ("a_third_copy", "two_bad_sync_bytes_in_a_row", "pat_scrambled"):
        change = next(f[2] for f in faults.FAULTS if f[0] == name)
        stream = base.copy()
        faults.mid.__defaults__ = (faults.VIDEO, faults.plain, 0.05)
        faults.null_pair.__defaults__ = (2, 0.05)
        change(stream)
        write("stream", name, bytes([7]) + b"".join(stream.packets[:60]))


def main():
    sections()
    damaged()
    with tempfile.TemporaryDirectory() as folder:
        streams(pathlib.Path(folder))
        pictures(pathlib.Path(folder))


if __name__ == "__main__":
    main()
