/* Checks encoder.c against vectors.txt.
 *
 *   cc -std=c99 -Wall -Wextra -Wpedantic -Werror -o test_encoder encoder.c test_encoder.c
 *   ./test_encoder vectors.txt
 *
 * With --print it reads rows without the line from its input and prints what the
 * encoder makes of each, for another implementation to be compared with:
 *   ./test_encoder --print < rows
 */
#include "encoder.h"

#include <stdio.h>
#include <string.h>

static int failures = 0;

static void check(bool ok, const char *what, const char *detail)
{
    if (!ok) {
        failures += 1;
        fprintf(stderr, "FAILED: %s: %s\n", what, detail);
    }
}

static int index_of(const char *word, const char *const words[4])
{
    int i;

    for (i = 0; i < 4; i += 1) {
        if (strcmp(word, words[i]) == 0) {
            return i;
        }
    }
    return -1;
}

/* The fields of version 2, up to the line; false when they cannot be read. */
static bool read_more(const char *row, struct node_line *line, int *used)
{
    static const char *const references[4] = {"abs", "gauge", "", ""};
    static const char *const states[4] = {"ok", "over", "under", "fault"};
    char digits[12], decimals[4], reference[8], state_text[8], barometer[8];
    unsigned long number;
    unsigned small;
    int place;

    if (sscanf(row, " | %11s | %3s | %7s | %7s | %7s%n", digits, decimals, reference,
               state_text, barometer, used)
        != 5) {
        return false;
    }
    line->has_high = strcmp(digits, "-") != 0;
    if (line->has_high) {
        place = index_of(reference, references);
        if (sscanf(digits, "%lu", &number) != 1 || sscanf(decimals, "%u", &small) != 1
            || place < 0) {
            return false;
        }
        line->high.digits = (uint32_t)number;
        line->high.decimals = (uint8_t)small;
        line->high_reference = (enum node_reference)place;
        place = index_of(state_text, states);
        if (place < 0) {
            return false;
        }
        line->high_state = (enum node_state)place;
    }
    line->has_barometer = strcmp(barometer, "-") != 0;
    if (line->has_barometer) {
        if (sscanf(barometer, "%u", &small) != 1) {
            return false;
        }
        line->barometer_tenths_hpa = (uint16_t)small;
    }
    return true;
}

/* Fills line from one row and gives the text expected, empty if the row has none;
 * false when it cannot. */
static bool read_row(const char *row, struct node_line *line, char expected[128])
{
    static const char *const units[4] = {"micron", "Pa", "mbar", "Torr"};
    static const char *const states[4] = {"ok", "over", "under", "fault"};
    unsigned sequence, milliseconds, decimals;
    unsigned long seconds, digits;
    static const struct node_line nothing;
    int tenths = 0, unit, state, used = 0, more = 0, bars = 0;
    const char *at;
    char unit_text[8], temperature[8], state_text[8];

    expected[0] = '\0';
    *line = nothing;
    if (sscanf(row, "%u | %lu | %u | %lu | %u | %7s | %7s | %7s%n", &sequence, &seconds,
               &milliseconds, &digits, &decimals, unit_text, temperature, state_text, &used)
        != 8) {
        return false;
    }
    for (at = row; *at != '\0'; at += 1) {
        bars += *at == '|';
    }
    /* 7 or 8 bars without these fields and without or with the line, 12 or 13 with them */
    if (bars > 8 && !read_more(row + used, line, &more)) {
        return false;
    }
    if (bars == 8 || bars == 13) {
        if (sscanf(row + used + more, " | %127[^\n]", expected) != 1) {
            return false;
        }
    }
    unit = index_of(unit_text, units);
    state = index_of(state_text, states);
    if (unit < 0 || state < 0) {
        return false;
    }
    line->has_temperature = strcmp(temperature, "-") != 0;
    if (line->has_temperature && sscanf(temperature, "%d", &tenths) != 1) {
        return false;
    }
    line->sequence = (uint16_t)sequence;
    line->seconds = (uint32_t)seconds;
    line->milliseconds = (uint16_t)milliseconds;
    line->value.digits = (uint32_t)digits;
    line->value.decimals = (uint8_t)decimals;
    line->unit = (enum node_unit)unit;
    line->temperature_tenths_c = (int16_t)tenths;
    line->state = (enum node_state)state;
    return true;
}

static void check_row(const char *row)
{
    struct node_line line;
    char expected[128], out[NODE_LINE_MAX + 1];
    size_t length, room;

    if (!read_row(row, &line, expected)) {
        check(false, "cannot read this row", row);
        return;
    }
    out[NODE_LINE_MAX] = '#'; /* a guard behind the buffer */
    length = node_encode(out, NODE_LINE_MAX, &line);
    check(out[NODE_LINE_MAX] == '#', "wrote behind the buffer", row);
    if (strcmp(expected, "refused") == 0) {
        check(length == 0 && out[0] == '\0', "should have been refused", row);
        return;
    }
    check(length == strlen(out), "returned length", row);
    check(length > 0 && out[length - 1] == '\n', "no line feed", row);
    if (length > 0) {
        out[length - 1] = '\0';
    }
    check(strcmp(out, expected) == 0, out, row);

    /* every buffer too small is refused, without a byte behind it */
    for (room = 0; room <= length; room += 1) {
        out[room] = '#';
        check(node_encode(out, room, &line) == 0, "claimed to fit", row);
        check(out[room] == '#', "wrote behind a small buffer", row);
    }
    check(node_encode(out, length + 1, &line) == length, "should just fit", row);
}

static int print_lines(void)
{
    char row[256], unused[128], out[NODE_LINE_MAX];
    struct node_line line;

    while (fgets(row, sizeof row, stdin) != NULL) {
        if (!read_row(row, &line, unused)) {
            fprintf(stderr, "cannot read this row: %s", row);
            return 1;
        }
        fputs(node_encode(out, sizeof out, &line) > 0 ? out : "refused\n", stdout);
    }
    return 0;
}

int main(int argc, char **argv)
{
    char row[256];
    int rows = 0;
    FILE *file;

    if (argc == 2 && strcmp(argv[1], "--print") == 0) {
        return print_lines();
    }
    file = argc == 2 ? fopen(argv[1], "r") : NULL;
    if (file == NULL) {
        fprintf(stderr, "usage: test_encoder vectors.txt\n");
        return 2;
    }
    /* published check value of this CRC over "123456789" (from memory; the Python
     * standard library's crc_hqx started at 0xFFFF gives the same) */
    check(node_crc16("123456789", 9) == 0x29B1, "CRC check value", "123456789");
    check(node_crc16("", 0) == 0xFFFF, "CRC of nothing", "");
    while (fgets(row, sizeof row, file) != NULL) {
        if (row[0] != '#' && row[0] != '\n') {
            rows += 1;
            check_row(row);
        }
    }
    fclose(file);
    check(rows >= 34, "vectors are missing", argv[1]);
    printf("firmware encoder: %d vectors, %d failures\n", rows, failures);
    return failures == 0 ? 0 : 1;
}
