#include "encoder.h"

#define DECIMALS_MAX 6
#define COLDEST_TENTHS_C (-2731)

/* A buffer that remembers whether everything went in. */
struct sink {
    char *out;
    size_t size;
    size_t used;
    bool fits;
};

static void put(struct sink *s, char c)
{
    /* one byte stays free for the closing NUL */
    if (s->used + 1 < s->size) {
        s->out[s->used] = c;
        s->used += 1;
    } else {
        s->fits = false;
    }
}

static void put_text(struct sink *s, const char *text)
{
    while (*text != '\0') {
        put(s, *text);
        text += 1;
    }
}

/* digits / 10^decimals with every decimal written, at least one digit in front */
static void put_decimal(struct sink *s, uint32_t digits, uint8_t decimals)
{
    char reversed[10]; /* 2^32 has ten digits */
    uint8_t count = 0;

    while (digits != 0 || count <= decimals) {
        reversed[count] = (char)('0' + digits % 10);
        digits /= 10;
        count += 1;
    }
    while (count != 0) {
        count -= 1;
        put(s, reversed[count]);
        if (count == decimals && count != 0) {
            put(s, '.');
        }
    }
}

static void put_hex4(struct sink *s, uint16_t value)
{
    static const char hex[] = "0123456789ABCDEF";
    int shift;

    for (shift = 12; shift >= 0; shift -= 4) {
        put(s, hex[(value >> shift) & 0xF]);
    }
}

static void put_value(struct sink *s, enum node_state state, const struct node_decimal *value)
{
    if (state == NODE_FAULT) {
        put(s, '-');
        return;
    }
    /* the sign keeps a careless reader from taking a bound for a measurement */
    if (state == NODE_OVER) {
        put(s, '>');
    } else if (state == NODE_UNDER) {
        put(s, '<');
    }
    put_decimal(s, value->digits, value->decimals);
}

static void put_temperature(struct sink *s, const struct node_line *line)
{
    int32_t tenths = line->temperature_tenths_c;

    if (!line->has_temperature) {
        put(s, '-');
        return;
    }
    if (tenths < 0) {
        put(s, '-');
        tenths = -tenths;
    }
    put_decimal(s, (uint32_t)tenths, 1);
}

static const char *unit_word(enum node_unit unit)
{
    switch (unit) {
    case NODE_MICRON:
        return "micron";
    case NODE_PASCAL:
        return "Pa";
    case NODE_MILLIBAR:
        return "mbar";
    case NODE_TORR:
        return "Torr";
    }
    return NULL;
}

static const char *state_word(enum node_state state)
{
    switch (state) {
    case NODE_OK:
        return "ok";
    case NODE_OVER:
        return "over";
    case NODE_UNDER:
        return "under";
    case NODE_FAULT:
        return "fault";
    }
    return NULL;
}

static const char *reference_word(enum node_reference reference)
{
    switch (reference) {
    case NODE_ABSOLUTE:
        return "abs";
    case NODE_GAUGE:
        return "gauge";
    }
    return NULL;
}

/* The version, and behind N2 what it has more than N1. */
static void put_version_and_more(struct sink *s, const struct node_line *line)
{
    if (!line->has_high && !line->has_barometer) {
        put_text(s, "N1 ");
        return;
    }
    put_text(s, "N2 ");
    if (line->has_high) {
        put_value(s, line->high_state, &line->high);
        put_text(s, " kPa ");
        put_text(s, reference_word(line->high_reference));
        put(s, ' ');
        put_text(s, state_word(line->high_state));
    } else {
        put(s, '-');
    }
    put(s, ' ');
    if (line->has_barometer) {
        put_decimal(s, line->barometer_tenths_hpa, 1);
        put_text(s, " hPa ");
    } else {
        put_text(s, "- ");
    }
}

static bool is_stated(enum node_state state, const struct node_decimal *value)
{
    return value->decimals <= DECIMALS_MAX && state_word(state) != NULL
        /* no gauge measures zero, and a zero would pass every limit; as a bound it says nothing */
        && (state == NODE_FAULT || value->digits != 0);
}

static bool is_sound(const struct node_line *line)
{
    return line->milliseconds <= 999 && unit_word(line->unit) != NULL
        && is_stated(line->state, &line->value)
        && (!line->has_high
            || (reference_word(line->high_reference) != NULL
                && is_stated(line->high_state, &line->high)))
        && (!line->has_barometer
            || (line->barometer_tenths_hpa >= NODE_BAROMETER_MIN
                && line->barometer_tenths_hpa <= NODE_BAROMETER_MAX))
        && (!line->has_temperature || line->temperature_tenths_c >= COLDEST_TENTHS_C);
}

uint16_t node_crc16(const char *bytes, size_t count)
{
    uint16_t crc = 0xFFFF;
    size_t i;
    int bit;

    for (i = 0; i < count; i += 1) {
        crc = (uint16_t)(crc ^ (uint16_t)((uint16_t)(unsigned char)bytes[i] << 8));
        for (bit = 0; bit < 8; bit += 1) {
            if ((crc & 0x8000) != 0) {
                crc = (uint16_t)((uint16_t)(crc << 1) ^ 0x1021);
            } else {
                crc = (uint16_t)(crc << 1);
            }
        }
    }
    return crc;
}

size_t node_encode(char *out, size_t out_size, const struct node_line *line)
{
    struct sink s = {out, out_size, 0, true};

    if (out_size == 0) {
        return 0;
    }
    out[0] = '\0';
    if (!is_sound(line)) {
        return 0;
    }
    put_version_and_more(&s, line);
    put_decimal(&s, line->sequence, 0);
    put(&s, ' ');
    put_decimal(&s, line->seconds, 0);
    put(&s, '.');
    put(&s, (char)('0' + line->milliseconds / 100));
    put(&s, (char)('0' + line->milliseconds / 10 % 10));
    put(&s, (char)('0' + line->milliseconds % 10));
    put(&s, ' ');
    put_value(&s, line->state, &line->value);
    put(&s, ' ');
    put_text(&s, unit_word(line->unit));
    put(&s, ' ');
    put_temperature(&s, line);
    put(&s, ' ');
    put_text(&s, state_word(line->state));
    put(&s, ' ');
    put_hex4(&s, node_crc16(out, s.used));
    put(&s, '\n');
    if (!s.fits) {
        out[0] = '\0';
        return 0;
    }
    out[s.used] = '\0';
    return s.used;
}
