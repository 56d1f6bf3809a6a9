#!/usr/bin/env bash
# Builds the node for the emulated board and checks the room it takes:
#   bash firmware-notes/node/build.sh FOLDER      leaves FOLDER/node.elf
# Flash and RAM may not exceed what firmware-notes/README.md states, nor fall so far
# below it (a quarter) that the statement is no longer true.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
out=${1:?usage: build.sh FOLDER}
mkdir -p "$out"

arm-none-eabi-gcc -mcpu=cortex-m3 -mthumb -Os -std=c99 -ffreestanding \
    -Wall -Wextra -Wpedantic -Wconversion -Werror \
    -ffunction-sections -fdata-sections -fno-tree-loop-distribute-patterns \
    -nostdlib -Wl,--gc-sections -Wl,--no-warn-rwx-segments -Wl,-T,"$here/layout.ld" \
    -o "$out/node.elf" \
    "$here"/{startup,board,front_end,rehearsed,main}.c "$here/../encoder.c" -lgcc
arm-none-eabi-size "$out/node.elf"

# text and data lie in flash; data, bss and the stack in RAM
sizes() { arm-none-eabi-size "$1" | tail -n 1; }
stated() { sed -n "s/^| $1 | \([0-9,]*\) .*/\1/p" "$here/../README.md" | tr -d ,; }
check() {
    local what=$1 used=$2 limit
    limit=$(stated "$what")
    [ -n "$limit" ] || { echo "README.md states no limit for: $what" >&2; exit 1; }
    echo "$what: $used bytes, at most $limit"
    if [ "$used" -gt "$limit" ] || [ $((used * 4)) -lt $((limit * 3)) ]; then
        echo "$what: README.md states $limit bytes, it takes $used" >&2
        exit 1
    fi
}
read -r text data bss _ < <(sizes "$out/node.elf")
check 'the whole node, flash' $((text + data))
check 'the whole node, RAM' $((data + bss + 12)) # 12 bytes in no section are kept over a reset

arm-none-eabi-gcc -mcpu=cortex-m3 -mthumb -Os -std=c99 -ffreestanding \
    -c -o "$out/encoder.o" "$here/../encoder.c"
read -r text _ < <(sizes "$out/encoder.o")
check '`encoder.c` alone, flash' "$text"
