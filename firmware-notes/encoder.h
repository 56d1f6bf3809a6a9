/* Writes the lines of a gauge node. See README.md for the grammar.
 *
 * Portable C99: no heap, no floating point, no locale, no stdio. Numbers come in
 * as whole digits and a count of decimals, because the digits a sensor really
 * resolves are part of the message: 501.20 micron claims more than 501 micron.
 */
#ifndef NODE_ENCODER_H
#define NODE_ENCODER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Room for the longest line, its line feed and a closing NUL. */
#define NODE_LINE_MAX 104

/* Units of the vacuum sensor: absolute. Nothing relative to the barometer is offered. */
enum node_unit { NODE_MICRON, NODE_PASCAL, NODE_MILLIBAR, NODE_TORR };

enum node_state {
    NODE_OK,    /* the value is a measurement, above zero */
    NODE_OVER,  /* above range: the value is the upper end of the range */
    NODE_UNDER, /* below range: the value is the lower end of the range */
    NODE_FAULT  /* the sensor is not well: the value is not sent */
};

/* digits / 10^decimals, for instance {50120, 2} is 501.20 */
struct node_decimal {
    uint32_t digits;
    uint8_t decimals; /* 0 to 6 */
};

/* What a high pressure is counted from. */
enum node_reference {
    NODE_ABSOLUTE, /* from vacuum */
    NODE_GAUGE     /* from the air around the sensor */
};

/* Lowest and highest pressure of the air, tenths of hPa. */
#define NODE_BAROMETER_MIN 3000u
#define NODE_BAROMETER_MAX 12000u

/* Begin with {0}: then there is neither a high-pressure sensor nor a barometer, and the
 * line is of version 1. With either of them it is of version 2. */
struct node_line {
    uint16_t sequence;     /* one more for every line, sent or not; wraps to 0 */
    uint32_t seconds;      /* since the node started */
    uint16_t milliseconds; /* 0 to 999 */
    struct node_decimal value;
    enum node_unit unit;
    bool has_temperature;
    int16_t temperature_tenths_c; /* of the sensor, from -273.1 °C up */
    enum node_state state;

    bool has_high;            /* a high-pressure sensor is fitted */
    struct node_decimal high; /* kPa; zero or less by a gauge that counts from air: NODE_UNDER */
    enum node_reference high_reference;
    enum node_state high_state;
    bool has_barometer;
    uint16_t barometer_tenths_hpa; /* 3000 to 12000 */
};

/* CRC-16, polynomial 0x1021, start 0xFFFF, not reflected, no final inversion.
 * Over the nine bytes "123456789" it is 0x29B1. */
uint16_t node_crc16(const char *bytes, size_t count);

/* Writes one line with its line feed and a closing NUL into out.
 *
 * Returns the number of bytes to send (the NUL not counted), or 0 when the line
 * does not fit into out_size or a field is out of its range; out then holds an empty
 * text. A value of zero is out of range unless its state is NODE_FAULT: send
 * NODE_UNDER with the lower end of the range. A buffer of NODE_LINE_MAX always fits. */
size_t node_encode(char *out, size_t out_size, const struct node_line *line);

#endif
