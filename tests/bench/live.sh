# SPDX-License-Identifier: Apache-2.0
# The live figures of tools/bench: 400 groups of 8 Mbit/s through a snooping bridge, by tools/lab.
# Sourced by tools/bench ($root, $built, $room).

live_groups=400
live_rate=8      # Mbit/s
live_watch=60    # seconds

# Inside the lab: the head-end sends for longer than the display listens.
live_in_lab() {
    local sender
    lab_head "$built/tools/rehearse/mastline-rehearse" "$room/live.toml" --interface head0 \
        --for "$((live_watch + 10)) s" --json "$room/sent.json" >"$room/sent.txt" 2>&1 &
    sender=$!
    sleep 4
    # Figures of a failed verdict count too: what was lost is what is measured.
    TIMEFORMAT=$'%R %U %S'
    { time lab_display "$built/probe/mastline-probe" verify --plan "$room/live.toml" \
        --interface display0 --listen ring --for "$live_watch s" --json "$room/live.json" \
        >"$room/live.txt" 2>&1 || [ $? -eq 1 ]; } 2>"$room/live.time"
    wait "$sender" || { cat "$room/sent.txt" >&2; exit 3; }
}

# Datagrams missing by RTP sequence number, those the ring itself dropped, and groups that never came.
measure_live() {
    local datagrams lost drops absent wall user kernel
    python3 "$root/tests/bench/live_plan.py" $live_groups $live_rate >"$room/live.toml"
    export room built live_watch
    export -f live_in_lab
    "$root/tools/lab" run bash -euo pipefail -c live_in_lab >&2
    read -r datagrams lost drops absent < <(jq -r '
        [([.observations[].datagrams] | add), ([.observations[].rtp.lost // 0] | add), .own_drops,
         ([.observations[] | select(.datagrams == 0)] | length)] | @tsv' "$room/live.json")
    read -r wall user kernel <"$room/live.time"
    awk -v n="$datagrams" -v lost="$lost" -v drops="$drops" -v absent="$absent" -v wall="$wall" \
        -v user="$user" -v kernel="$kernel" -v planned=$((live_groups * live_rate)) 'BEGIN {
            OFS = "\t"
            print "live.400.datagrams", n, "datagrams", "-"
            # Less than planned: the sender did not keep up, and nothing is proven at full rate.
            printf "live.400.offered\t%.3f\tratio\t>=0.99\n", n * 7 * 188 * 8 / wall / planned / 1e6
            print "live.400.lost", lost, "datagrams", "<=0"
            print "live.400.ring_drops", drops, "datagrams", "<=0"
            print "live.400.absent", absent, "groups", "<=0"
            printf "live.400.user\t%.3f\tus/datagram\t<=0.4\n", user * 1e6 / n
            printf "live.400.reader_busy\t%.3f\tratio\t<=0.25\n", (user + kernel) / wall
        }'
}
