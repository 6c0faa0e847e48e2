# SPDX-License-Identifier: Apache-2.0
# The live figures of tools/bench: 400 groups of 8 Mbit/s through a snooping bridge, by tools/lab; and
# how many datagrams a second each way of listening takes without losing one, against what the sender
# alone can send. Every end shares the same processors.
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

# ---- how much each way of listening takes

rate_groups=400
rate_seconds=2   # of sending, for each rate that is tried
rate_steps=6     # halvings of what is between the rates known to pass and to fail

# send RATE: prints how many datagrams were sent, and in what time.
send() {
    lab_head "$built/tests/bench/live_bench" send "$room/multiplex.ts" head0 $rate_groups $rate_seconds "$1"
}

# listened WAY RATE: SENT SECONDS RECEIVED DROPS USER KERNEL of one run.
listened() {
    lab_display "$built/tests/bench/live_bench" receive "$1" display0 $rate_groups $((rate_seconds + 3)) \
        >"$room/received" 2>/dev/null &
    local listener=$!
    sleep 2  # 400 joins, and the bridge hears of them
    send "$2" >"$room/sent"
    wait "$listener"
    echo "$(cat "$room/sent") $(cat "$room/received")"
}

# lossless WAY RATE: whether one of two runs lost nothing; leaves its figures in $room/run.
lossless() {
    local try
    for try in 1 2; do
        listened "$1" "$2" >"$room/run"
        awk '{ exit !($1 == $3 && $4 == 0) }' "$room/run" && return 0
    done
    return 1
}

# most WAY ALONE: the greatest rate without loss, in datagrams a second, by halving.
most() {
    local low=0 high=$2 step middle
    for step in $(seq $rate_steps); do
        middle=$(((low + high) / 2))
        if lossless "$1" "$middle"; then
            low=$(awk '{ printf "%d", $1 / $2 }' "$room/run")  # a sender that shares may not reach it
        else
            high=$middle
        fi
    done
    echo "$low"
}

rates_in_lab() {
    local alone ring unchecked sockets
    # The best of three: what else the machine does must not make the goals easier.
    alone=$(for _ in 1 2 3; do send 0; done | awk '{ r = $1 / $2; if (r > best) best = r } END { printf "%d", best }')
    ring=$(most ring "$alone")
    unchecked=$(most unchecked "$alone")
    sockets=$(most sockets "$alone")
    # The reader at half of what the sender alone reaches, or at what it takes where that is less.
    listened ring "$((ring < alone / 2 ? ring : alone / 2))" >"$room/half"
    echo "$alone $ring $unchecked $sockets $(cat "$room/half")" >"$room/rates"
}

measure_rates() {
    export room built rate_groups rate_seconds rate_steps
    export -f rates_in_lab most lossless listened send
    "$root/tools/lab" run bash -euo pipefail -c rates_in_lab >&2
    awk 'BEGIN { OFS = "\t" } {
        print "live.sender.alone", $1, "datagrams/s", "-"
        print "live.ring.most", $2, "datagrams/s", "-"
        print "live.unchecked.most", $3, "datagrams/s", "-"
        print "live.sockets.most", $4, "datagrams/s", "-"
        printf "live.ring.vs_sender\t%.3f\tratio\t>=0.5\n", $2 / $1
        printf "live.ring.vs_unchecked\t%.3f\tratio\t>=0.9\n", $2 / $3
        printf "live.sockets.vs_ring\t%.3f\tratio\t>=0.6\n", $4 / $2
        print "live.ring.half_rate", $5 / $6, "datagrams/s", "-"
        printf "live.ring.user\t%.3f\tus/datagram\t<=0.4\n", $9 * 1e6 / $7
        printf "live.ring.busy\t%.3f\tratio\t<=0.25\n", ($9 + $10) / $6
    }' "$room/rates"
}
