// A on pin 2, B on pin 3: degrees, one number a line. 4096 is four times the lines of the encoder.
volatile long counts = 0;
void edge() {
  static const int8_t STEPS[16] = {0, -1, 1, 0, 1, 0, 0, -1, -1, 0, 0, 1, 0, 1, -1, 0};
  static byte levels = 0;
  levels = (levels << 2 | digitalRead(2) << 1 | digitalRead(3)) & 15;
  counts += STEPS[levels];
}
void setup() {
  Serial.begin(115200);
  attachInterrupt(digitalPinToInterrupt(2), edge, CHANGE);
  attachInterrupt(digitalPinToInterrupt(3), edge, CHANGE);
}
void loop() {
  noInterrupts();
  long now = counts;
  interrupts();
  Serial.println(now * 360.0 / 4096, 3);
  delay(10);
}
